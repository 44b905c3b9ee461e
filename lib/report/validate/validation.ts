import {
  type Examination,
  examineCohort,
  groupProblems,
  type ReadingOptions,
  type RuleCost,
} from "../../cohort/mod.ts";
import { selectEligible } from "../../cohort/analysis/mod.ts";
import { otherTableProblems } from "../../cohort/others/mod.ts";
import { treatedAsPlanned } from "../../missing/open/mod.ts";
import { DataError } from "../../numerics/mod.ts";
import type { Cohort, Problem, ReadingLog, Severity } from "../../cohort/model/mod.ts";
import { openStudy, readFileText, type RunPaths, type Study } from "../../study/file/mod.ts";
import { strayWords } from "../../study/plan/mod.ts";
import { lineOfPath, pathOf, type ProblemLine, ProblemsError } from "../../study/problems/mod.ts";
import { notebooksOf } from "../snapshot/mod.ts";
import { fileHeading } from "./file-heading.ts";
import { type ToWrite, toWrite, writeInstead } from "./what-to-write.ts";
import { foretell } from "./foretell.ts";
import type { Foretold } from "./foretold.ts";

/** One cell or row that a rule found. */
export interface ValidationPlace {
  /** Row of the table, from 1; `null` where the problem is the column's or the file's. */
  row: number | null;
  line: number | null;
  /** `null` where it could identify somebody. */
  value: string | null;
  /** What is wrong here, where it is not said in the words of the group: it names another line. */
  message?: string;
}

/** All that one rule found in one column. */
export interface ValidationGroup {
  severity: Severity;
  file: string;
  /** `null` where the problem is the row's or the file's. */
  column: string | null;
  /** What the file calls the column, where that is something else. */
  heading?: string;
  rule: string;
  message: string;
  remedy: string;
  count: number;
  /** What they cost the analysis together; nothing where they cost nothing. */
  costs?: RuleCost;
  /** What would mend them in the study file: one of these. */
  write?: ToWrite[];
  /** Where, as far as it is listed one by one. */
  places: ValidationPlace[];
}

/** Everything wrong with a study file and its two tables. */
export interface Validation {
  title: string;
  /** Errors that stop a run first, then those that set a row aside, then warnings. */
  groups: ValidationGroup[];
  counts: Record<Severity, number>;
  log: ReadingLog[];
  /** What the report will be able to show of the plan; empty where the files are unfit. */
  foretold: Foretold[];
  /** 0 nothing found, 1 warnings only, 2 errors. */
  code: 0 | 1 | 2;
}

const order: Severity[] = ["structural", "error", "warning"];

/**
 * Checks a study file and its tables, and gives everything found at once.
 *
 * What stops a run does not stop the check: the problems of a study file, of files that cannot be
 * read and of columns that are missing come in the same form as those of single cells.
 */
export async function validateStudy(
  paths: RunPaths,
  options: ReadingOptions = {},
): Promise<Validation> {
  try {
    const opened = await openStudy(paths.study);
    const study = {
      ...opened,
      cohortPath: paths.cohort ?? opened.cohortPath,
      visitsPath: paths.visits ?? opened.visitsPath,
    };
    const text = await Deno.readTextFile(study.path).catch(() => "{}");
    const before = [
      ...await notebookProblems(study, text),
      ...problemGroups(await otherTableProblems(study), text),
      ...strayWordGroups(study, text),
    ];
    return summarised(study, await examineCohort(study, options), { text, before });
  } catch (error) {
    if (!(error instanceof ProblemsError)) throw error;
    const text = paths.study ? await readFileText(paths.study).catch(() => "") : "";
    return finished(error.action, groupsOf(error, text), []);
  }
}

/**
 * What is wrong with the notebooks that a study names; it does not stop the check of the tables.
 */
async function notebookProblems(study: Study, text: string): Promise<ValidationGroup[]> {
  try {
    await notebooksOf(study);
    return [];
  } catch (error) {
    if (error instanceof ProblemsError) return groupsOf(error, text);
    throw error;
  }
}

function groupsOf({ problems }: ProblemsError, text: string): ValidationGroup[] {
  return problemGroups(problems, text);
}

function problemGroups(problems: readonly ProblemLine[], text: string): ValidationGroup[] {
  return problems.map(({ where, what }): ValidationGroup => ({
    severity: "structural",
    file: "study file",
    column: where,
    rule: "study-file",
    message: what,
    remedy: `correct the study file${atLine(text, where)}`,
    count: 1,
    places: [],
  }));
}

/** The centre's own words that contradict the plan's options: they stop nothing. */
function strayWordGroups(study: Study, text: string): ValidationGroup[] {
  return strayWords(study).map(({ where, what, remedy }): ValidationGroup => ({
    severity: "warning",
    file: "study file",
    column: where,
    rule: "plan-words",
    message: what,
    remedy: `${remedy}${atLine(text, where)}`,
    count: 1,
    places: [],
  }));
}

/**
 * The line of the study file, where it is a JSON text in which the part or one around it stands.
 */
function atLine(text: string, where: string): string {
  try {
    return `, line ${lineOfPath(text, pathOf(where, JSON.parse(text)))}`;
  } catch {
    return "";
  }
}

async function summarised(
  study: Study,
  examination: Examination,
  { text, before }: { text: string; before: readonly ValidationGroup[] },
): Promise<Validation> {
  const { problems, files, log, cohort, costs } = examination;
  const costOf = ({ severity, table, rule, column }: Problem) => {
    const cost = severity === "error" &&
      costs.find((one) => one.table === table && one.rule === rule && one.column === column);
    return cost ? { costs: cost } : {};
  };
  const headingOf = ({ table, column }: Problem) => {
    const heading = column === null ? undefined : fileHeading(study.mapping, { table, column });
    return heading === undefined ? {} : { heading };
  };
  const writeFor = (listed: readonly Problem[]) => {
    const write = toWrite(study, text, listed);
    return write.length > 0 ? { write } : {};
  };
  const groups = groupProblems(problems).map(({ first, count, listed }): ValidationGroup => ({
    severity: first.severity,
    file: files[first.table],
    column: first.column,
    ...headingOf(first),
    rule: first.rule,
    message: first.message,
    remedy: first.remedy,
    count,
    ...costOf(first),
    ...writeFor(listed),
    places: listed.flatMap(({ row, line, value, message }): ValidationPlace[] =>
      row === null && line === null ? [] : [{
        row: row === null ? null : row + 1,
        line,
        value,
        ...(message === first.message ? {} : { message }),
      }]
    ),
  }));
  const { foretold, stops } = cohort
    ? await foretoldOf(cohort(), study, text)
    : { foretold: [], stops: [] };
  const stopGroups = problemGroups(stops, text);
  return finished(study.title, [...before, ...stopGroups, ...groups], log, foretold);
}

/**
 * What the report will be able to show, of patients whose missing values are treated as they will
 * be there; or why these patients stop it.
 */
async function foretoldOf(
  cohort: Cohort,
  study: Study,
  text: string,
): Promise<{ foretold: Foretold[]; stops: ProblemLine[] }> {
  try {
    const analysis = await treatedAsPlanned(selectEligible(cohort, study), false);
    const foretold = foretell(analysis).map((line) =>
      line.instead ? { ...line, write: writeInstead(text, line.instead) } : line
    );
    return { foretold, stops: [] };
  } catch (error) {
    if (!(error instanceof DataError) || error instanceof ProblemsError) throw error;
    return { foretold: [], stops: [{ where: error.argument, what: error.message }] };
  }
}

function finished(
  title: string,
  groups: ValidationGroup[],
  log: ReadingLog[],
  foretold: Foretold[] = [],
): Validation {
  const counts: Record<Severity, number> = { structural: 0, error: 0, warning: 0 };
  for (const { severity, count } of groups) counts[severity] += count;
  const sorted = order.flatMap((severity) => groups.filter((group) => group.severity === severity));
  const code = counts.structural + counts.error > 0 ? 2 : counts.warning > 0 ? 1 : 0;
  return { title, groups: sorted, counts, log, foretold, code };
}
