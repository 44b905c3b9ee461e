import { parse } from "csv-parse/sync";
import type { Tolerance } from "../close.ts";

/** One check case: data, method in words, expected values and their source. See cases.json. */
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

const cases: Case[] = JSON.parse(
  Deno.readTextFileSync(new URL("./cases.json", import.meta.url)),
);

/** The case of that id. A wrong id throws: a check that finds no case must not pass. */
export function referenceCase(id: string): Case {
  const found = cases.find((candidate) => candidate.id === id);
  if (!found) throw new Error(`No reference case "${id}" in cases.json`);
  return found;
}

/** All case ids, in file order. */
export function referenceCaseIds(): string[] {
  return cases.map((candidate) => candidate.id);
}

/** Rows of a reference data file, every value as text ("" or "NA" where missing). */
export function referenceRows(file: string): Record<string, string>[] {
  const text = Deno.readTextFileSync(new URL(`./data/${file}`, import.meta.url));
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
