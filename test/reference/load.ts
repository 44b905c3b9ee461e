import { parse } from "csv-parse/sync";
import type { Tolerance } from "../close.ts";

/**
 * One check case: data, method in words, expected values and their source. See cases.json and
 * cases-3.json. Where a case names several files, `data` is null and its values name them.
 */
export interface Case {
  id: string;
  what: string;
  data: string | null;
  columns: Record<string, string>;
  method: string;
  // deno-lint-ignore no-explicit-any -- every case has a shape of its own
  options: any;
  // deno-lint-ignore no-explicit-any -- as above
  expected: any;
  tolerance: Tolerance;
  source: { kind: string; citation: string };
  note: string;
}

const cases: Case[] = [
  "cases.json",
  "cases-3.json",
  "cases-programme.json",
  "cases-programme-models.json",
  "cases-calibration.json",
].flatMap((file) =>
  (JSON.parse(Deno.readTextFileSync(new URL(file, import.meta.url))) as Case[])
    .map((one) => ({ ...one, data: typeof one.data === "string" ? one.data : null }))
);

/** Every check case. */
export function allCases(): readonly Case[] {
  return cases;
}

/** The case of that id. A wrong id throws: a check that finds no case must not pass. */
export function referenceCase(id: string): Case {
  const found = cases.find((candidate) => candidate.id === id);
  if (!found) throw new Error(`No reference case "${id}" in the files of cases`);
  return found;
}

/** All case ids, in file order. */
export function referenceCaseIds(): string[] {
  return cases.map((candidate) => candidate.id);
}

const folderOf = new Map(
  ["data-3", "data-programme"].flatMap((folder) =>
    [...Deno.readDirSync(new URL(folder, import.meta.url))].map(({ name }) => [name, folder])
  ),
);

/** Rows of a reference data file, every value as text ("" or "NA" where missing). */
export function referenceRows(file: string): Record<string, string>[] {
  const folder = folderOf.get(file) ?? "data";
  const text = Deno.readTextFileSync(new URL(`${folder}/${file}`, import.meta.url));
  return parse(text, { columns: true, skip_empty_lines: true });
}

/** One column as numbers; missing is NaN, so filter before handing it to an estimator. */
export function numeric(rows: Record<string, string>[], column: string): Float64Array {
  return Float64Array.from(rows, (row) => {
    const text = row[column];
    if (text === undefined) throw new Error(`No column "${column}" in the reference data`);
    return text === "" || text === "NA" ? NaN : Number(text);
  });
}

/**
 * Numbers of a case, where the file writes what it cannot hold as text: "Infinity", "-Infinity".
 */
export function caseNumbers(values: (number | string | null)[]): number[] {
  return values.map((value) => value === null ? NaN : Number(value));
}
