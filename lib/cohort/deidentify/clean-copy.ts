import { dirname, join } from "node:path";
import { stringify } from "csv-stringify/sync";
import type { TableLayout } from "../../study/mapping/mod.ts";
import {
  type FileToWrite,
  type Study,
  textFile,
  writeOwnBlocks,
  writeTogether,
} from "../../study/file/mod.ts";
import { type ProblemLine, ProblemsError } from "../../study/problems/mod.ts";
import { checkPlan } from "../checks/mod.ts";
import type { TableName } from "../dictionary/mod.ts";
import type { ReadingProgress } from "../file/mod.ts";
import { identifierMessage } from "../identifiers/mod.ts";
import { readTable, type Table } from "../table/mod.ts";
import { type CleanCells, cleanCells } from "./clean-cells.ts";
import { type Aloneness, aloneness } from "./aloneness.ts";
import { type ExportBook, exportBook, type RowCounts } from "./export-book.ts";
import { openKey, pseudonymizer } from "./key.ts";
import { knownColumns } from "./known-columns.ts";
import { labelBook } from "./label-book.ts";
import { searchOf } from "./plan.ts";

/** A centre's own export, and what stays with it. */
export interface CleanCopyOptions {
  /** A study file that describes the export; its `files` say where the copy goes. */
  study: Study;
  /** The export's patients table. */
  cohort: string;
  /** The export's visits table; where there is none, the copy has no visit. */
  visits?: string;
  /**
   * Folder of the key, the surgeons' labels and the list of cells not understood. It never travels.
   */
  privateFolder: string;
  /** Told now and then how far the reading has come. */
  progress?: (progress: ReadingProgress) => void;
}

/** What became of one table of an export. `rowsRead = rowsWritten + notes`. */
export interface CleanTable {
  /** Which table. */
  table: TableName;
  /** Rows that the file had. */
  rowsRead: number;
  /** Rows of the copy. */
  rowsWritten: number;
  /** Lines beneath the table that are no rows of it. */
  notes: number;
  /** Rows whose record number is a patient's but for leading zeros, capitals or blanks. */
  alike: number;
  /** One a column: filled cells, and those not understood. */
  columns: { column: string; filled: number; notUnderstood: number }[];
}

/** What was done to make a clean copy, without a value of it. */
export interface CleanCopy {
  /** One a table. */
  tables: CleanTable[];
  /** How many patients could be told from all others. */
  alone: Aloneness;
  /** Cells that were not understood, listed with their text in the private folder. */
  notUnderstood: number;
}

/**
 * Makes a clean copy of a centre's export, in the dictionary's columns and units: everything that
 * the study file's mapping says is worked out from dates, numbers and texts first, and only what
 * the dictionary or the study's own columns name is written. Record numbers become keyed
 * pseudonyms, surgeons labels, ages over 89 become 90. A cell that is not understood is blank in
 * the copy, and listed with its line and text in `not-understood.csv` of the private folder; no row
 * is dropped.
 *
 * The copy is searched for identifiers before it is written; if any is left, nothing is, nor where
 * one of its files cannot be: a copy that was there before then stays. Held are the columns, and a
 * record number and a day for each patient. Cost O(cells), and one HMAC a patient.
 *
 * @throws {ProblemsError} if the plan or a file is unfit. No message holds a value.
 */
export async function makeCleanCopy(options: CleanCopyOptions): Promise<CleanCopy> {
  const { study, privateFolder, progress } = options;
  checkPlan(study);
  if (!study.export) throw unfit("export", "the study file does not describe an export");
  const out = dirname(study.cohortPath);
  await Deno.mkdir(privateFolder, { recursive: true });
  const key = await openKey(join(privateFolder, "pseudonyms.key"), out);
  const labels = await labelBook(join(privateFolder, "surgeons.json"));
  const book = exportBook(study, labels);
  const reading = { study, book, ...(progress && { progress }) };
  const patients = await read("patients", options.cohort, study.export.cohort, reading);
  const visits = options.visits === undefined
    ? null
    : await read("visits", options.visits, study.export.visits ?? study.export.cohort, reading);
  const names = await (await pseudonymizer(key))(book.ids());
  const clean = [
    cleanCells(patients.table, names),
    visits
      ? cleanCells(visits.table, names)
      : { header: ["id", "day", "mr"], rows: [], unread: [] },
  ];
  const alone = searched(study, clean);
  if (labels.changed) await labels.save();
  const lists = [patients, ...(visits ? [visits] : [])];
  const tables = lists.map(({ table, counts }, i): CleanTable => ({
    table: table.name,
    rowsRead: counts.read,
    rowsWritten: clean[i]!.rows.length,
    notes: counts.notes,
    alike: counts.alike,
    columns: columnsOf(clean[i]!),
  }));
  for (const { table, rowsRead, rowsWritten, notes } of tables) {
    if (rowsRead !== rowsWritten + notes) throw new Error(`rows of ${table} lost`);
  }
  const unread = lists.flatMap(({ table }, i) =>
    clean[i]!.unread.map(({ row, column, text, why }) => [
      table.name,
      String(table.lines.at(row) ?? ""),
      column,
      text,
      why,
    ])
  );
  const record: CleanCopy = { tables, alone, notUnderstood: unread.length };
  const cells = stringify([["table", "line", "becomes", "text", "why"], ...unread]);
  await writeTogether([
    inOrder(study.cohortPath, clean[0]!),
    inOrder(study.visitsPath, clean[1]!),
    textFile(join(privateFolder, "not-understood.csv"), cells, { mode: 0o600 }),
    textFile(join(out, "record.json"), `${JSON.stringify(record, null, 2)}\n`),
  ]);
  return record;
}

async function read(
  name: TableName,
  path: string,
  layout: TableLayout,
  { study, book, ...rest }: {
    study: Study;
    book: ExportBook;
    progress?: CleanCopyOptions["progress"];
  },
): Promise<{ table: Table; counts: RowCounts }> {
  const taking = book.taking(name, layout);
  const table = await readTable(name, {
    path,
    mapping: study.mapping,
    own: study.columns,
    ...rest,
    taken: { layout, header: taking.header, row: taking.row },
  });
  const stopping = table.problems.filter(({ severity, row }) =>
    severity === "structural" && row === null
  );
  if (stopping.length > 0) {
    throw new ProblemsError(
      "make a clean copy",
      stopping.map(({ column, message, remedy }): ProblemLine => ({
        where: column === null ? name : `${name}, ${column}`,
        what: `${message}; ${remedy}`,
      })),
    );
  }
  return { table, counts: taking.counts };
}

/** Searches the copy for identifiers. @throws {ProblemsError} where any is left. */
function searched(study: Study, clean: readonly CleanCells[]): Aloneness {
  const [patients, visits] = clean;
  const left: string[] = [];
  let alone: Aloneness | undefined;
  for (const [name, table] of [["patients", patients], ["visits", visits]] as const) {
    if (!table) continue;
    const { mapping: _, ...rest } = study;
    const known = knownColumns(name, table.header, { ...rest, mapping: noMapping });
    const scan = searchOf(table.header, known);
    const book = aloneness(table.header, known);
    const id = table.header.indexOf("id");
    table.rows.forEach((row, i) => {
      scan.of(row[id] ?? "");
      scan.take(row, i + 2);
      book.take(row);
    });
    left.push(
      ...scan.finish().map((finding) =>
        `${name}, ${finding.column}: ${identifierMessage(finding)}`
      ),
    );
    if (name === "patients") alone = book.finish();
  }
  if (left.length > 0 || !alone) {
    throw new ProblemsError(
      "make a clean copy",
      left.map((what) => ({ where: "the copy", what: `${what}; nothing was written` })),
    );
  }
  return alone;
}

const noMapping: Study["mapping"] = {
  patients: {},
  visits: {},
  missing: [],
  derived: { patients: [], visits: [] },
};

function columnsOf({ header, rows, unread }: CleanCells): CleanTable["columns"] {
  const lost = Map.groupBy(unread, ({ column }) => column);
  return header.map((column, place) => ({
    column,
    filled: rows.reduce((sum, row) => sum + (row[place] === "" ? 0 : 1), 0),
    notUnderstood: lost.get(column)?.length ?? 0,
  }));
}

/** Rows in the order of pseudonyms and days: the order of the export could tell who is who. */
function inOrder(path: string, { header, rows }: CleanCells): FileToWrite {
  const [id, day] = [header.indexOf("id"), header.indexOf("day")];
  const order = Uint32Array.from(rows, (_, row) => row).sort((a, b) =>
    compare(rows[a]![id] ?? "", rows[b]![id] ?? "") ||
    (Number(rows[a]![day] ?? 0) || 0) - (Number(rows[b]![day] ?? 0) || 0) || a - b
  );
  function* blocks() {
    const encoder = new TextEncoder();
    yield encoder.encode(stringify([header]));
    for (let from = 0; from < order.length; from += rowsAtOnce) {
      const block = Array.from(order.subarray(from, from + rowsAtOnce), (row) => rows[row]!);
      yield encoder.encode(stringify(block));
    }
  }
  return { path, write: (to) => writeOwnBlocks(to, blocks()) };
}

const rowsAtOnce = 5000;

function compare(a: string, b: string): number {
  return a < b ? -1 : a > b ? 1 : 0;
}

function unfit(where: string, what: string): ProblemsError {
  return new ProblemsError("make a clean copy", [{ where, what }]);
}
