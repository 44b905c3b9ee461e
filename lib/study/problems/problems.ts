import { DataError } from "../../numerics/mod.ts";

/** One thing that stands in the way, and where. */
export interface ProblemLine {
  /** Where: a path in the study file, or a table and column. */
  where: string;
  /** What must hold, and what to do. Never a value that could identify a patient. */
  what: string;
}

/**
 * A {@link DataError} that reports every problem of a file at once, one a line.
 *
 * @example
 * ```ts ignore
 * import { ProblemsError } from "mitral";
 * throw new ProblemsError("open study.json", [{ where: "seed", what: "a whole number" }]);
 * // Cannot open study.json: 1 problem
 * //   seed: a whole number
 * ```
 */
export class ProblemsError extends DataError {
  /** What could not be done, to be read after "Cannot". */
  readonly action: string;
  /** Everything wrong, each with its place. */
  readonly problems: readonly ProblemLine[];

  /** Says what could not be done, and lists why. */
  constructor(action: string, problems: readonly ProblemLine[]) {
    super(action, "free of problems", problems.length);
    this.action = action;
    this.problems = problems;
    const count = problems.length === 1 ? "1 problem" : `${problems.length} problems`;
    const lines = problems.map(({ where, what }) => `\n  ${where}: ${what}`);
    this.message = `Cannot ${action}: ${count}${lines.join("")}`;
  }
}
