import { stringify } from "csv-stringify/sync";
import { join } from "node:path";
import { ProblemsError } from "../study/mod.ts";
import { type DateOrder, dayOf } from "./date-cell.ts";
import { openKey, pseudonymizer } from "./deidentify-key.ts";
import {
  operationDates,
  orderOfDates,
  planColumns,
  type PlannedColumn,
  type RawTable,
  search,
  type TablePlan,
} from "./deidentify-plan.ts";
import { actionsInWords, rewrite, surgeonCodes } from "./deidentify-rows.ts";
import { identifierMessage } from "./identifier-findings.ts";
import { readRecords } from "./read-records.ts";

/** What to make a clean copy of, and where. */
export interface DeidentifyOptions {
  /** The patients table. */
  cohort: string;
  /** The echo visits table. */
  visits?: string;
  /** A new or empty folder. */
  out: string;
  /** File of the key, outside `out`; made where there is none. */
  key: string;
  /** Heading of the column of record numbers, the same in both tables (default `id`). */
  id?: string;
  /** Heading of the date of operation, where more than one could be it. */
  operation?: string;
  /** Sheet of the patients table, in a workbook (default: the first). */
  sheet?: string;
  /** How dates are written, where it cannot be told from them. */
  dates?: DateOrder;
}

/** What was done to a table, without a value of it. */
export interface TableRecord {
  file: string;
  rows: number;
  columns: { column: string; became: string | null; what: string; cells: number }[];
}

/** The record that goes with a clean copy. */
export interface DeidentifyRecord {
  about: string[];
  dates: DateOrder | null;
  tables: TableRecord[];
  /** Columns and kinds that a search of the clean copy still suspects: none, or nothing is written. */
  left: string[];
}

const about = [
  "What was done to make the tables beside this file. It holds no value of theirs.",
  "Pseudonyms: HMAC-SHA-256 of the record number with a key kept elsewhere, as 14 letters. With the same key a patient keeps the pseudonym; without it nobody can tell whose it is.",
  "Dates: days from the patient's operation; of the operation the year. Ages over 89: 90.",
  "Names, free text and every other identifier that was found: the column dropped, or single cells blanked where they were few. Rows: in the order of pseudonyms.",
  "Written as CSV in UTF-8 with commas between values and decimal points.",
  "A search finds what looks like an identifier. Whether a patient could still be recognised, somebody who knows the data must judge (45 CFR 164.514(b)(2)(ii)).",
];

/**
 * Writes a clean copy of a cohort's files: keyed pseudonyms for record numbers, days from operation
 * for dates, 90 for every age over 89, codes for surgeons' names; everything else that looks like an
 * identifier is dropped. A record says what was done, column by column, with counts.
 *
 * The copy is searched again before it is written; if anything is left, nothing is written. Holds
 * the files in memory. Cost: O(cells), and one HMAC a patient.
 *
 * @example
 * ```ts
 * await deidentify({ cohort: "raw.csv", out: "clean", key: "../keys/mitral.key" });
 * ```
 * @throws {ProblemsError} where a file cannot be read, the key lies in the output folder, or it
 * cannot be told which column holds what. No message holds a value.
 */
export async function deidentify(options: DeidentifyOptions): Promise<DeidentifyRecord> {
  await checkEmpty(options.out);
  const patients = await readRaw(options.cohort, "patients", options.sheet);
  const visits = options.visits ? await readRaw(options.visits, "visits") : null;
  const id = options.id ?? "id";
  const operation = operationColumn(patients, options.operation);
  const plans = {
    patients: planColumns(patients, {
      name: "patients",
      id: columnNamed(patients, id, "patients"),
      operation,
    }),
    visits: visits && planColumns(visits, {
      name: "visits",
      id: columnNamed(visits, id, "visits"),
      operation: -1,
    }),
  };
  const dates = dateOrder(
    options.dates,
    [
      dateCells(patients, plans.patients),
      visits && plans.visits ? dateCells(visits, plans.visits) : [],
    ].flat(),
  );
  const needed = [plans.patients, plans.visits].some((plan) =>
    plan?.columns.some(({ action }) => action.do === "days" || action.do === "age-at-operation")
  );
  if (needed && operation < 0) {
    throw refused(
      "patients",
      "dates are counted from the operation, and no column holds its date; say which one does " +
        "with --operation, or remove the dates",
    );
  }
  const key = await openKey(options.key, options.out);
  const pseudonym = await pseudonymizer(key);
  const idColumn = columnNamed(patients, id, "patients");
  const day = new Map<string, number>();
  for (const row of patients.rows) {
    const start = operation < 0 ? NaN : dayOf(row[operation] ?? "", dates ?? "year-first");
    day.set((row[idColumn] ?? "").trim(), start);
  }
  const surgeons = await surgeonCodes(patients, plans.patients, pseudonym);
  const context = { pseudonym, surgeons, order: dates ?? "year-first", operationDay: day };
  const clean = [
    {
      file: "patients.csv",
      name: "patients" as const,
      plan: plans.patients,
      ...await rewrite(patients, plans.patients, { ...context, id: idColumn }),
    },
  ] as Cleaned[];
  if (visits && plans.visits) {
    clean.push({
      file: "echo-visits.csv",
      name: "visits",
      plan: plans.visits,
      ...await rewrite(visits, plans.visits, {
        ...context,
        id: columnNamed(visits, id, "visits"),
      }),
    });
  }
  const left = clean.flatMap(({ file, name, table }) =>
    search(table, name).findings.map((finding) =>
      `${file}, ${finding.column}: ${identifierMessage(finding)}`
    )
  );
  if (left.length > 0) {
    throw new ProblemsError(
      "de-identify",
      left.map((line) => ({
        where: "the clean copy",
        what: `${line}; nothing was written: remove this column from the file first`,
      })),
    );
  }
  const record: DeidentifyRecord = {
    about,
    dates,
    tables: clean.map(({ file, plan, table, counts }) => ({
      file,
      rows: table.rows.length,
      columns: plan.columns.map((column, i) => recordOf(column, counts[i] ?? 0)),
    })),
    left,
  };
  await Deno.mkdir(options.out, { recursive: true });
  for (const { file, table } of clean) {
    const text = stringify([table.header, ...table.rows]);
    await Deno.writeTextFile(join(options.out, file), text, { mode: 0o600 });
  }
  const text = `${JSON.stringify(record, null, 2)}\n`;
  await Deno.writeTextFile(join(options.out, "record.json"), text);
  return record;
}

interface Cleaned {
  file: string;
  name: "patients" | "visits";
  plan: TablePlan;
  table: RawTable;
  counts: number[];
}

function recordOf(column: PlannedColumn, cells: number): TableRecord["columns"][number] {
  const { shown, heading, action } = column;
  return {
    column: shown,
    became: action.do === "drop" ? null : heading,
    what: actionsInWords(action),
    cells,
  };
}

async function readRaw(path: string, where: string, sheet?: string): Promise<RawTable> {
  const table: RawTable = { header: [], rows: [] };
  let commas = false;
  const fault = await readRecords(path, {
    begin(format) {
      commas = format.decimal === ",";
    },
    take(record) {
      if (table.header.length === 0) table.header = record.map((heading) => heading.trim());
      else table.rows.push(commas ? record.map(withPoint) : record);
    },
  }, { sheet });
  if (fault) {
    const line = fault.line === null ? "" : `line ${fault.line}: `;
    throw refused(where, `${line}${fault.message}; ${fault.remedy}`);
  }
  if (table.header.length === 0) throw refused(where, "the file is empty");
  if (table.rows.some((row) => row.length > table.header.length)) {
    throw refused(where, "a row has more values than the header; put values in quotation marks");
  }
  return table;
}

/** A number with a decimal comma as one with a point, which the copy is written with. */
function withPoint(cell: string): string {
  return /^\s*[-+]?\d+,\d+\s*$/.test(cell) ? cell.replace(",", ".") : cell;
}

function columnNamed(table: RawTable, name: string, where: string): number {
  const position = table.header.indexOf(name.trim());
  if (position >= 0) return position;
  throw refused(
    where,
    `no column of record numbers has the heading given (default "id"); say which one with --id`,
  );
}

function operationColumn(patients: RawTable, named: string | undefined): number {
  if (named !== undefined) {
    const position = patients.header.indexOf(named.trim());
    if (position >= 0) return position;
    throw refused("patients", "no column has the heading given with --operation");
  }
  const found = operationDates(patients.header);
  if (found.length <= 1) return found[0] ?? -1;
  throw refused(
    "patients",
    `${found.length} columns could hold the date of operation; say which one with --operation`,
  );
}

function dateCells(table: RawTable, plan: TablePlan): string[] {
  const places = plan.columns.flatMap(({ action }, position) =>
    action.do === "days" || action.do === "age-at-operation" || action.do === "operation-year"
      ? [position]
      : []
  );
  return table.rows.flatMap((row) => places.map((place) => row[place]?.trim() ?? ""))
    .filter((cell) => cell !== "");
}

function dateOrder(stated: DateOrder | undefined, cells: string[]): DateOrder | null {
  if (stated) return stated;
  if (cells.length === 0) return null;
  const order = orderOfDates(cells);
  if (order) return order;
  throw refused(
    "dates",
    "it cannot be told from them whether the day or the month comes first; say it with --dates",
  );
}

async function checkEmpty(out: string): Promise<void> {
  try {
    for await (const _ of Deno.readDir(out)) {
      throw refused("out", "the folder is not empty; choose a new one");
    }
  } catch (error) {
    if (!(error instanceof Deno.errors.NotFound)) throw error;
  }
}

function refused(where: string, what: string): ProblemsError {
  return new ProblemsError("de-identify", [{ where, what }]);
}
