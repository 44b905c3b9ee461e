import type { Study } from "../../study/file/mod.ts";
import { type ProblemLine, ProblemsError } from "../../study/problems/mod.ts";
import { numberOf } from "../cells/mod.ts";
import { faultInWords, readRecords } from "../file/mod.ts";
import {
  type IdentifierFinding,
  identifierMessage,
  identifierScan,
  remedyOf,
} from "../identifiers/mod.ts";

/** Columns by heading, a cell a row: numbers where every filled cell is one, `null` where blank. */
export type OtherTable = Record<string, (string | number | null)[]>;

/**
 * Reads a table that the study file names under `files.others`: what a notebook of one's own needs
 * to know besides the patients, such as the sizes of a ring by model. In a report's run it is the
 * copy that was hashed and is listed with what went in.
 *
 * CSV or XLSX, found out as for the two main tables.
 *
 * @param study Of `openStudy`, or an analysis's.
 * @param name The study file's name for the table.
 * @example
 * ```ts
 * import { openStudy, otherTable } from "mitral";
 * const study = await openStudy("data-demo/study.json");
 * Object.keys(study.otherPaths); // none: the demo names no other table
 * await otherTable(study, "rings").catch(({ problems }) => problems[0].where); // "files.others"
 * ```
 * @throws {ProblemsError} Where the study names no such table, it cannot be read, two headings are
 * the same, or it looks as if it identified anybody.
 */
export async function otherTable(study: Study, name: string): Promise<OtherTable> {
  const path = Object.hasOwn(study.otherPaths, name) ? study.otherPaths[name] : undefined;
  const problem = (problems: ProblemLine[]) =>
    new ProblemsError(`read the table ${name}`, problems);
  if (path === undefined) {
    const names = Object.keys(study.otherPaths).join(", ") || "none";
    const what = `names no table ${JSON.stringify(name)}; those it names: ${names}`;
    throw problem([{ where: "files.others", what }]);
  }
  const read = await readOther(name, path);
  if (read.problems.length > 0) throw problem(read.problems);
  return read.table;
}

/** What is wrong with the other tables that a study names; nothing where all can be read. */
export async function otherTableProblems(study: Study): Promise<ProblemLine[]> {
  const problems: ProblemLine[] = [];
  for (const [name, path] of Object.entries(study.otherPaths)) {
    problems.push(...(await readOther(name, path)).problems);
  }
  return problems;
}

async function readOther(
  name: string,
  path: string,
): Promise<{ table: OtherTable; problems: ProblemLine[] }> {
  const where = `files.others.${name}`;
  const records: { record: string[]; line: number }[] = [];
  let point = ".".charCodeAt(0);
  const fault = await readRecords(path, {
    begin: ({ decimal }) => point = decimal.charCodeAt(0),
    take: (record, line) => records.push({ record, line }),
  });
  if (fault) return { table: {}, problems: [{ where, what: faultInWords(fault) }] };
  const [{ record: header } = { record: [] }, ...rows] = records;
  const headings = header.map((heading) => heading.trim());
  const twice = headings.findIndex((heading, i) => heading === "" || headings.indexOf(heading) < i);
  if (twice >= 0 || headings.length === 0) {
    const what = headings.length === 0
      ? "the table is empty; its first row must be headings"
      : `column ${twice + 1} has no heading of its own; give each column another`;
    return { table: {}, problems: [{ where, what }] };
  }
  const scan = identifierScan(headings);
  for (const { record, line } of rows) scan.take(record, line);
  const problems = scan.finish().map((finding) => ({ where, what: said(finding) }));
  const columns = headings.map((heading, i) => {
    const cells = rows.map(({ record }) => (record[i] ?? "").trim());
    const numbers = cells.map((cell) => cell === "" ? null : numberOf(cell, point));
    const column = numbers.some(Number.isNaN) ? cells.map((cell) => cell || null) : numbers;
    return [heading, column] as const;
  });
  return { table: Object.fromEntries(columns), problems };
}

function said(finding: IdentifierFinding): string {
  return `${finding.column}, first on line ${finding.line}: ${identifierMessage(finding)}; ` +
    remedyOf(finding);
}
