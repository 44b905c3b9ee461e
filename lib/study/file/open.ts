import { readFileBytes, whyNoFile } from "./ordinary-file.ts";
import { basename, dirname, resolve } from "node:path";
import { fileURLToPath } from "node:url";
import { parsePlan, type Plan } from "../plan/mod.ts";
import { ProblemsError } from "../problems/mod.ts";

/** A checked, frozen study file and the absolute paths of the files it names. */
export interface Study extends Plan {
  /** Absolute path of the study file. */
  readonly path: string;
  /** Absolute path of the patients table. */
  readonly cohortPath: string;
  /** Absolute path of the echo visits table. */
  readonly visitsPath: string;
  /** Absolute path of the life table, if the plan names one. */
  readonly lifeTablePath?: string;
  /** Absolute paths of the other tables that the plan names, by its names for them. */
  readonly otherPaths: Readonly<Record<string, string>>;
}

/** Paths that a runner hands to a notebook through `globalThis[Symbol.for("mitral.run")]`. */
export interface RunPaths {
  /** Study file. */
  study?: string;
  /** Patients table. */
  cohort?: string;
  /** Echo visits table. */
  visits?: string;
  /** Life table. */
  lifeTable?: string;
  /** Other tables, by the study file's names for them. */
  others?: Record<string, string>;
  /** The two tables as the run has read and checked them, in columns. */
  columns?: string;
  /** Completed sets that the run has made, where the plan imputes. */
  completed?: string;
  /** Replicates that were worked out elsewhere. */
  replicates?: string;
  /** Answers of an earlier run of the same notebook, where those of this one are to be kept. */
  answers?: string;
}

/** The paths that a runner left for this process; none outside a run. */
export function runPaths(): RunPaths {
  const run = (globalThis as { [key: symbol]: unknown })[Symbol.for("mitral.run")];
  return (run as RunPaths | undefined) ?? {};
}

/** What a result rests on: one file, by name, size and hash. */
export interface FileRecord {
  /** What the file is to the study. */
  role: "study" | "cohort" | "visits" | "life table" | `table ${string}`;
  /** The file's name without its folder, which may say more than it should. */
  name: string;
  /** Its size. */
  bytes: number;
  /** Hexadecimal. */
  sha256: string;
}

/**
 * Opens a study file.
 *
 * Looks, in this order, at `path`, at the path a runner left in
 * `globalThis[Symbol.for("mitral.run")]`, and at the demonstration study. A runner may also point
 * `cohort` and `visits` at other files than the study names.
 *
 * @example
 * ```ts
 * import { openStudy } from "mitral";
 * const study = await openStudy();
 * study.groups.by; // "intended"
 * ```
 * @throws {ProblemsError} if the file is not there, not JSON, or not a study file.
 */
export async function openStudy(path?: string): Promise<Study> {
  const run = runPaths();
  const chosen = path ?? run.study ??
    fileURLToPath(new URL("../../../data-demo/study.json", import.meta.url));
  const file = resolve(chosen);
  const name = basename(file);
  const plan = parsePlan(parseJson(await readText(file, name), name), name);
  return studyOf(plan, file, run);
}

/**
 * A study from a plan that is already in memory.
 *
 * @param plan From {@link parsePlan}.
 * @param path Where the study file is, or would be: the plan's own paths are relative to it.
 * @param instead Files to read instead of those the plan names.
 */
export function studyOf(
  plan: Plan,
  path: string,
  instead: Pick<RunPaths, "cohort" | "visits" | "lifeTable" | "others"> = {},
): Study {
  const folder = dirname(resolve(path));
  const lifeTable = instead.lifeTable ?? plan.files.lifeTable;
  return deepFreeze({
    ...structuredClone(plan),
    path: resolve(path),
    cohortPath: instead.cohort ? resolve(instead.cohort) : resolve(folder, plan.files.cohort),
    visitsPath: instead.visits ? resolve(instead.visits) : resolve(folder, plan.files.visits),
    // of a run that brings a life table, only a plan that asks for one uses it
    ...(plan.files.lifeTable && lifeTable && { lifeTablePath: resolve(folder, lifeTable) }),
    otherPaths: Object.fromEntries(
      Object.entries(plan.files.others ?? {}).map((
        [name, path],
      ) => [name, resolve(folder, instead.others?.[name] ?? path)]),
    ),
  });
}

/**
 * Whether the plan asked for a result; one that it did not is exploratory. The table and the
 * finding of a planned result are planned with it: `survival-matched-table` where the plan names
 * `survival-matched`. Where it names `populations`, so is what is shown of a population that it has
 * planned: `valve-failure-secondary`.
 */
export function isPlanned(
  study: Pick<Study, "planned"> & Partial<Pick<Study, "populations">>,
  id: string,
): boolean {
  const name = plannedName(id);
  const { planned, populations = [] } = study;
  return planned.includes(id) || planned.includes(name) ||
    planned.includes("populations") &&
      populations.some((one) => one.planned && name.endsWith(`-${one.id}`));
}

/** The name in the plan of what is shown under an id: without `-table` or `-finding` at its end. */
export function plannedName(id: string): string {
  return id.replace(/-(table|finding)$/, "");
}

/** Name, size and SHA-256 of the study file and every table it names, the two main ones first. */
export function provenance(study: Study): Promise<FileRecord[]> {
  const files: [FileRecord["role"], string][] = [
    ["study", study.path],
    ["cohort", study.cohortPath],
    ["visits", study.visitsPath],
  ];
  if (study.lifeTablePath) files.push(["life table", study.lifeTablePath]);
  for (const [name, path] of Object.entries(study.otherPaths)) files.push([`table ${name}`, path]);
  return Promise.all(files.map(async ([role, path]) => {
    const bytes = await readFileBytes(path);
    const digest = new Uint8Array(await crypto.subtle.digest("SHA-256", bytes));
    return { role, name: basename(path), bytes: bytes.length, sha256: digest.toHex() };
  }));
}

async function readText(file: string, name: string): Promise<string> {
  const problem = (what: string) =>
    new ProblemsError(`open ${name}`, [{ where: "(whole file)", what }]);
  const why = await whyNoFile(file);
  if (why !== undefined) throw problem(why);
  try {
    return await Deno.readTextFile(file);
  } catch (error) {
    const what = error instanceof Deno.errors.NotFound
      ? "no such file"
      : error instanceof Deno.errors.NotCapable
      ? "this program has no permission to read it"
      : "it could not be read";
    throw problem(what);
  }
}

function parseJson(text: string, name: string): unknown {
  try {
    return JSON.parse(text.replace(/^\uFEFF/, ""));
  } catch (error) {
    const what = `not JSON: ${error instanceof Error ? error.message : "unreadable"}`;
    throw new ProblemsError(`open ${name}`, [{ where: "(whole file)", what }]);
  }
}

function deepFreeze<T>(value: T): T {
  if (typeof value === "object" && value !== null) {
    Object.values(value).forEach(deepFreeze);
    Object.freeze(value);
  }
  return value;
}
