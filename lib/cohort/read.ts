import { type ProblemLine, ProblemsError } from "../study/problems/mod.ts";
import type { Mapping } from "../study/mapping/mod.ts";
import type { Study } from "../study/file/mod.ts";
import { checkCells, checkPatients, checkPlan } from "./checks/mod.ts";
import { keptCohort } from "./kept/mod.ts";
import { otherTableProblems } from "./others/mod.ts";
import type { ReadingProgress } from "./file/mod.ts";
import { type HeldRows, publishedColumns, withLazy } from "./cells/mod.ts";
import {
  linkVisits,
  readTable,
  reportUnlisted,
  type RuleCost,
  ruleCosts,
  settleErrors,
  type Table,
} from "./table/mod.ts";
import type { Cohort, Columns, Problem, ReadingLog } from "./model/mod.ts";

/** What may be asked of {@link readCohort} and {@link examineCohort}. */
export interface ReadingOptions {
  /** Told now and then how far the reading has come. */
  progress?: (progress: ReadingProgress) => void;
}

/** Everything found in a study's two files, whether or not they are fit to be analysed. */
export interface Examination {
  /** Everything found wrong. */
  problems: Problem[];
  /** What was read of each table. */
  log: ReadingLog[];
  /** Names of the files. */
  files: Record<Problem["table"], string>;
  /** What the errors of each rule cost; empty where the files could not be read to their end. */
  costs: RuleCost[];
  /** Gives the cohort; `null` where a structural problem makes the files unfit. */
  cohort: (() => Cohort) | null;
}

/**
 * Reads a study's two tables, checks every cell by the dictionary and every row by the rules that
 * compare cells, and links visits to patients.
 *
 * Every patient's row is kept. An error is listed in `problems` and costs as little as it can: a
 * patient is left out at eligibility, and counted there, only where identity, group or follow-up
 * cannot be told; a visit is dropped where its day or grade cannot; elsewhere one cell is made
 * missing. What makes the file as a whole unfit (a column missing or
 * unknown, a patient twice, wrong units, dates, free text, other identifiers) stops the reading
 * with all such problems in one message, in which no value appears. A blank is a missing value,
 * counted by column in `log`, never 0.
 *
 * Times stay in days here; {@link followUpOf} gives years. Cost: one pass over each file, and one
 * before it for the encoding. Within a report's run the files were read already, by a process of
 * its own, and what it found is taken.
 *
 * @example
 * ```ts
 * import { openStudy, readCohort } from "mitral";
 * const cohort = await readCohort(await openStudy());
 * cohort.log[0].rowsRead; // as many as the file has
 * ```
 * @throws {ProblemsError} (a {@link DataError}) if the plan does not fit the dictionary, or a file
 * is unfit.
 */
export async function readCohort(study: Study, options: ReadingOptions = {}): Promise<Cohort> {
  checkPlan(study);
  const kept = await keptCohort(study);
  if (kept) return kept;
  const beside = await otherTableProblems(study);
  if (beside.length > 0) throw new ProblemsError("read the other tables", beside);
  const { cohort, problems, files } = await examineCohort(study, options);
  if (cohort) return cohort();
  const stopping = problems.filter(({ severity }) => severity === "structural");
  throw new ProblemsError("read the cohort", summariseProblems(stopping, files));
}

/**
 * Reads and checks a study's two tables as {@link readCohort} does, and gives every problem found
 * in place of stopping at them.
 *
 * Of one kind of problem the first 10,000 are listed; one more says how many there are besides.
 *
 * @throws {ProblemsError} if the plan does not fit the dictionary.
 */
export async function examineCohort(
  study: Study,
  options: ReadingOptions = {},
): Promise<Examination> {
  checkPlan(study);
  // a clean copy of an export has the dictionary's columns: the mapping made it
  const mapping = study.export ? asItIs : study.mapping;
  const { progress } = options;
  const [patients, visits] = await Promise.all([
    readTable("patients", {
      path: study.cohortPath,
      mapping,
      own: study.columns,
      format: study.files.format?.cohort,
      progress,
    }),
    readTable("visits", {
      path: study.visitsPath,
      mapping,
      own: study.columns,
      format: study.files.format?.visits,
      progress,
    }),
  ]);
  const files = { patients: patients.file, visits: visits.file };
  // a file that broke off, or has no headings, would make every later check cry wolf
  const unread = ["file", "header"];
  if ([...patients.problems, ...visits.problems].some(({ rule }) => unread.includes(rule))) {
    return examined(patients, visits, files);
  }
  checkCells(patients);
  checkCells(visits);
  const linked = linkVisits(patients, visits, checkPatients(patients, study));
  settleErrors(patients);
  const costs = ruleCosts(patients, visits, linked);
  const result = { ...examined(patients, visits, files), costs };
  const ids = patients.columns.get("id");
  const isFit = !result.problems.some(({ severity }) => severity === "structural");
  if (!isFit || !ids || !("pool" in ids)) return result;
  if (linked.used + linked.dropped !== visits.n || ids.lengths.length !== patients.n) {
    throw new Error(`rows lost: ${visits.n} visits read, ${linked.used} used`);
  }
  let cohort: Cohort | undefined;
  const make = () =>
    cohort ??= withLazy(
      {
        n: patients.n,
        columns: publish(patients),
        visits: linked.visits(),
        invalid: patients.invalid,
        problems: result.problems,
        log: result.log,
      },
      publishedColumns(new Map([["ids", { column: ids }]])),
      ["ids"],
    ) as Cohort;
  return { ...result, cohort: make };
}

const asItIs: Mapping = {
  patients: {},
  visits: {},
  missing: [],
  derived: { patients: [], visits: [] },
};

/**
 * Problems grouped by table, column and rule, with how many there are and the first line: what a
 * person reads first.
 *
 * @param files Names of the files, in place of the tables' names.
 */
export function summariseProblems(
  problems: readonly Problem[],
  files: Partial<Record<Problem["table"], string>> = {},
): ProblemLine[] {
  return groupProblems(problems).map(({ first, count }) => {
    const file = files[first.table] ?? first.table;
    const where = first.column ? `${file}, ${first.column}` : file;
    const line = first.line === null ? "" : count > 1 ? `, first on line ${first.line}` : "";
    const counted = first.row === null
      ? first.line === null ? "" : `line ${first.line}: `
      : count === 1
      ? `1 row, line ${first.line}: `
      : `${count} rows${line}: `;
    return { where, what: `${counted}${first.message}; ${first.remedy}` };
  });
}

/** Problems of one rule in one column, and how many rows have it. */
export interface ProblemGroup {
  /** The first of them. */
  first: Problem;
  /** How many. */
  count: number;
  /** Those listed one by one. */
  listed: Problem[];
}

/** Groups problems by table, column and rule, in the order in which each kind was first found. */
export function groupProblems(problems: readonly Problem[]): ProblemGroup[] {
  const groups = new Map<string, ProblemGroup>();
  for (const problem of problems) {
    const ofRows = problem.row !== null || problem.unlisted !== undefined;
    const key = JSON.stringify([
      problem.table,
      problem.column,
      problem.rule,
      ofRows || problem.message,
    ]);
    let group = groups.get(key);
    if (!group) groups.set(key, group = { first: problem, count: 0, listed: [] });
    group.count += problem.unlisted ?? 1;
    if (problem.unlisted === undefined) group.listed.push(problem);
  }
  return [...groups.values()];
}

function examined(patients: Table, visits: Table, files: Examination["files"]): Examination {
  reportUnlisted(patients);
  reportUnlisted(visits);
  return {
    problems: [...patients.problems, ...visits.problems],
    log: [logOf(patients), logOf(visits)],
    files,
    costs: [],
    cohort: null,
  };
}

/** The columns as a cohort gives them, each let go by the table as it is taken. */
function publish(table: Table): Columns {
  const held = new Map<string, HeldRows>();
  for (const [name, column] of table.columns) {
    table.columns.delete(name);
    if (name !== "id") held.set(name, { column });
  }
  return publishedColumns(held);
}

function logOf(table: Table): ReadingLog {
  const rowsSetAside = table.invalid.reduce((sum, invalid) => sum + invalid, 0);
  const kept = table.invalid.reduce((sum, invalid) => sum + (invalid ? 0 : 1), 0);
  if (kept + rowsSetAside !== table.n) throw new Error(`rows lost in ${table.file}`);
  return {
    table: table.name,
    file: table.file,
    rowsRead: table.n,
    rowsKept: kept,
    rowsSetAside,
    cellsBlanked: table.cellsBlanked,
    blanks: table.blanks,
    missingCodes: table.missingCodes,
    format: table.format,
  };
}
