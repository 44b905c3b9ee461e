import { ruleHolds } from "../../cohort/analysis/mod.ts";
import type { Analysis } from "../../cohort/model/mod.ts";

/** A population of the plan, with its patients. */
export interface Population {
  /** Name that it is referred to by. */
  id: string;
  /** Name as readers see it. */
  label: string;
  /** Where there is little room. */
  shortLabel: string;
  /** Whether the plan asked for it. */
  planned: boolean;
  /** Whether the first answer is about it. */
  main: boolean;
  /** Its patients, as rows of the analysis, ascending. */
  rows: Int32Array;
  /** Patients of whom a missing value leaves it open; they are not in it. */
  undecided: number;
}

/**
 * The populations of the plan, in its order; where it names none, everybody eligible.
 *
 * The main one is the plan's `mainPopulation`, else the first that takes everybody, else the first.
 *
 * @example
 * ```ts
 * import { openAnalysis, populationsOf } from "mitral";
 * const { analysis } = await openAnalysis();
 * populationsOf(analysis).map(({ shortLabel, rows }) => [shortLabel, rows.length]);
 * ```
 * @throws {DataError} if a rule needs a column that the file does not have.
 */
export function populationsOf(analysis: Analysis): Population[] {
  const { study, n } = analysis;
  const planned = study.populations.length > 0
    ? study.populations
    : [{ id: "everyone", label: "Everyone eligible", planned: true }];
  const main = study.mainPopulation ??
    (planned.find((one) => !("rule" in one) || one.rule === undefined) ?? planned[0])?.id;
  return planned.map((one): Population => {
    const rule = "rule" in one ? one.rule : undefined;
    const holds = rule ? ruleHolds(analysis, rule, study) : new Float64Array(n).fill(1);
    const rows: number[] = [];
    let undecided = 0;
    holds.forEach((value, row) => {
      if (value === 1) rows.push(row);
      else if (Number.isNaN(value)) undecided++;
    });
    return {
      id: one.id,
      label: one.label,
      shortLabel: ("shortLabel" in one ? one.shortLabel : undefined) ?? one.label,
      planned: one.planned,
      main: one.id === main,
      rows: Int32Array.from(rows),
      undecided,
    };
  });
}

/** How many patients are in how many of the populations that take less than everybody. */
export function membership(
  populations: readonly Pick<Population, "rows">[],
  n: number,
): { none: number; one: number; several: number } {
  const times = new Int32Array(n);
  for (const { rows } of populations) {
    if (rows.length < n) { for (const row of rows) times[row]!++; }
  }
  const count = (holds: (k: number) => boolean) =>
    times.reduce((sum, k) => sum + (holds(k) ? 1 : 0), 0);
  return { none: count((k) => k === 0), one: count((k) => k === 1), several: count((k) => k > 1) };
}

/**
 * Populations that share no patient, in the plan's order: each that has none of those taken before
 * it. Only such may be tested against each other, or inform one another.
 */
export function disjointPopulations<P extends Pick<Population, "rows">>(
  populations: readonly P[],
  n: number,
): P[] {
  const taken = new Uint8Array(n);
  return populations.filter(({ rows }) => {
    if (rows.length === 0 || rows.length === n || rows.some((row) => taken[row] === 1)) {
      return false;
    }
    for (const row of rows) taken[row] = 1;
    return true;
  });
}
