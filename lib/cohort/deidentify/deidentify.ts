import { join } from "node:path";
import { textFile, writeTogether } from "../../study/file/mod.ts";
import { ProblemsError } from "../../study/problems/mod.ts";
import { type DateOrder, dateOrders, dayOf, looksLikeCode, shownText } from "../cells/mod.ts";
import type { ReadingProgress } from "../file/mod.ts";
import { openKey, pseudonymizer } from "./key.ts";
import {
  type ColumnAction,
  columnNamed,
  dateOrder,
  namesSurgeons,
  operationColumn,
  planColumns,
  type PlannedColumn,
  type SearchedTable,
  searchOf,
} from "./plan.ts";
import { knownColumns, type KnownPlan } from "./known-columns.ts";
import type { Aloneness } from "./aloneness.ts";
import { checkEmpty, eachRow, type RawFile, refused } from "./read.ts";
import { actionsInWords, rewrite, type Rewritten, surgeonCodes } from "./rows.ts";
import { identifierMessage, type IdentifierScan } from "../identifiers/mod.ts";
import { type PatientBook, patientBook } from "./patient-book.ts";
import { folderFor, rankedLines } from "./ranked-lines.ts";

/** What to make a clean copy of, and where. */
export interface DeidentifyOptions {
  /** The patients table. */
  cohort: string;
  /** The echo visits table. */
  visits?: string;
  /** What is known of the files' columns beyond the dictionary's own names. */
  plan?: KnownPlan;
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
  /** Sheet of the visits table, in a workbook (default: the first). */
  visitsSheet?: string;
  /** How dates are written, where it cannot be told from them. */
  dates?: DateOrder;
  /** Told each heading that is dropped, as the file has it: for the eyes of whoever keeps it. */
  dropped?: (file: string, heading: string) => void;
  /** Told now and then how far each going through a file has come. */
  progress?: (progress: ReadingProgress) => void;
}

/** What was done to a table, without a value of it. */
export interface TableRecord {
  /** Name of the file written. */
  file: string;
  /** Rows written. */
  rows: number;
  /** What became of each column. */
  columns: {
    column: string;
    became: string | null;
    what: string;
    cells: number;
    /**
     * Of these, filled cells that are blank now: not of their kind or range, or not to be dated.
     */
    lost?: number;
  }[];
  /** How many could be told from all others by what many people know of a patient. */
  alone?: Aloneness;
}

/** The record that goes with a clean copy. */
export interface DeidentifyRecord {
  /** What the record is, in sentences. */
  about: string[];
  /** How dates were written; null where there were none. */
  dates: DateOrder | null;
  /** One a table. */
  tables: TableRecord[];
  /**
   * Columns and kinds that a search of the clean copy still suspects: none, or nothing is written.
   */
  left: string[];
}

const about = [
  "What was done to make the tables beside this file. It holds no value of theirs.",
  "Pseudonyms: HMAC-SHA-256 of the record number with a key kept elsewhere, as 14 letters. With the same key a patient keeps the pseudonym; without it nobody can tell whose it is.",
  "Dates: days from the patient's operation; of the operation the year. Ages over 89: 90.",
  "Kept: columns of the dictionary or of the study file's mapping, and of them the cells that are numbers in their range or codes on their list. Everything else: dropped. Rows: in the order of pseudonyms.",
  "Written as CSV in UTF-8 with commas between values and decimal points.",
  "A search finds what looks like an identifier. Whether a patient could still be recognised, somebody who knows the data must judge (45 CFR 164.514(b)(2)(ii)).",
];

/**
 * Writes a clean copy of a cohort's files: keyed pseudonyms for record numbers, days from operation
 * for dates, 90 for every age over 89, codes for surgeons' names. Of the rest leaves what is known:
 * columns of the dictionary or of the study file's mapping, and in them numbers in their range and
 * codes on their list. A record says what was done, column by column, with counts.
 *
 * The copy is searched again before it is written; if anything is left, nothing is written, nor
 * where one of its files cannot be. Each file is gone through twice (search, rewriting), and once
 * between for dates and names where it has any. Held are, of each patient, record number, pseudonym
 * and day of operation. Clean lines wait in a file without a name on the disk of `out`, which takes
 * as much room as the copy until that is written. A workbook is held whole while it is read. Cost:
 * O(cells), and one HMAC a patient.
 *
 * @example
 * ```ts ignore
 * import { deidentify, openAnalysis } from "mitral";
 * const { study } = await openAnalysis();
 * await deidentify({ cohort: "raw.csv", plan: study, out: "clean", key: "../keys/mitral.key" });
 * ```
 * @throws {ProblemsError} where a file cannot be read, the key lies in the output folder, or it
 * cannot be told which column holds what. No message holds a value.
 */
export async function deidentify(options: DeidentifyOptions): Promise<DeidentifyRecord> {
  await checkEmpty(options.out);
  const { cohort, visits, sheet, visitsSheet, progress } = options;
  const files: RawFile[] = [{ path: cohort, name: "patients", sheet, progress }];
  if (visits) files.push({ path: visits, name: "visits", sheet: visitsSheet, progress });
  const searched = [];
  const patients = patientBook();
  for (const file of files) searched.push(await searchFile(file, options, patients));
  const tables = planTables(searched, options);
  const seen = await datesAndSurgeons(tables, patients);
  const dates = dateOrder(options.dates, seen);
  const needed = tables.some(({ columns }) =>
    columns.some(({ action }) => action.do === "days" || action.do === "age-at-operation")
  );
  if (needed && tables.every(({ operation }) => operation < 0)) {
    throw refused(
      "patients",
      "dates are counted from the operation, and no column holds its date; say which one does " +
        "with --operation, or remove the dates",
    );
  }
  const pseudonyms = await pseudonymizer(await openKey(options.key, options.out));
  await patients.giveNames(pseudonyms);
  const surgeons = await surgeonCodes([...seen.surgeons], pseudonyms);
  const order = dates ?? "year-first";
  const clean: { file: string; columns: PlannedColumn[]; table: Rewritten }[] = [];
  const ranks = patients.ranks();
  const folder = await folderFor(options.out);
  using stores = new DisposableStack();
  for (const { file, columns, id } of tables) {
    const lines = stores.use(rankedLines(folder, ranks.length));
    const table = await rewrite(file, columns, { patients, surgeons, order, id, ranks, lines });
    clean.push({ file: names[file.name], columns, table });
  }
  for (const { file, columns } of clean) {
    for (const { raw, action } of columns) {
      if (action.do === "drop") options.dropped?.(file, raw);
    }
  }
  const left = clean.flatMap(({ file, table }) =>
    table.findings.map((finding) => `${file}, ${finding.column}: ${identifierMessage(finding)}`)
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
    tables: clean.map(({ file, columns, table: { rows, counts, lost, alone } }) => ({
      file,
      rows,
      columns: columns.map((column, i) => recordOf(column, counts[i] ?? 0, lost[i] ?? 0)),
      ...(file === names.patients && { alone }),
    })),
    left,
  };
  const text = `${JSON.stringify(record, null, 2)}\n`;
  await writeTogether([
    ...clean.map(({ file, table: { write } }) => ({ path: join(options.out, file), write })),
    textFile(join(options.out, "record.json"), text),
  ]);
  return record;
}

const names = { patients: "patients.csv", visits: "echo-visits.csv" };

/** A table with what is to be done with it. */
interface PlannedTable {
  file: RawFile;
  columns: PlannedColumn[];
  /** Place of the record number. */
  id: number;
  /** Place of the date of operation, -1 where there is none. */
  operation: number;
}

async function searchFile(
  file: RawFile,
  { plan, id }: Pick<DeidentifyOptions, "plan" | "id">,
  patients: PatientBook,
): Promise<SearchedTable & { file: RawFile }> {
  let scan: IdentifierScan | undefined;
  let known: SearchedTable["known"] = [];
  let rows = 0;
  let owner = -1;
  let places: number[] | undefined;
  const surgeons = new Set<number>();
  const header = await eachRow(file, (row, header) => {
    if (!scan) {
      known = knownColumns(file.name, header, plan);
      scan = searchOf(header, known);
      owner = header.indexOf((id ?? "id").trim());
    }
    scan.of(row[owner] ?? "");
    patients.placeOf((row[owner] ?? "").trim());
    scan.take(row, ++rows + 1);
    places ??= header.flatMap((heading, place) => namesSurgeons(heading) ? [place] : []);
    for (const place of places) {
      const name = row[place]?.trim();
      // a word for a missing value is no name
      if (name && !looksLikeCode(name) && shownText(name) === null) surgeons.add(place);
    }
  });
  if (!scan) known = knownColumns(file.name, header, plan);
  return { file, header, scan: scan ?? searchOf(header, known), known, surgeons };
}

function planTables(
  searched: readonly (SearchedTable & { file: RawFile })[],
  options: DeidentifyOptions,
): PlannedTable[] {
  return searched.map(({ file, ...table }) => {
    const { header } = table;
    const operation = file.name === "patients" ? operationColumn(header, options.operation) : -1;
    const id = columnNamed(header, options.id ?? "id", file.name);
    return { file, columns: planColumns(table, { id, operation }), id, operation };
  });
}

/** What a second look at the files finds. */
interface Seen {
  /** Filled cells of columns of dates, and how many of them can be read in each order. */
  dates: number;
  readable: number[];
  /** What the patients table calls its surgeons. */
  surgeons: Set<string>;
}

/** Looks at dates and surgeons' names, and notes each patient's day of operation. */
async function datesAndSurgeons(
  tables: readonly PlannedTable[],
  patients: PatientBook,
): Promise<Seen> {
  const seen: Seen = { dates: 0, readable: dateOrders.map(() => 0), surgeons: new Set() };
  for (const { file, columns, id, operation } of tables) {
    const placesOf = (...wanted: ColumnAction["do"][]) =>
      columns.flatMap(({ action }, place) => wanted.includes(action.do) ? [place] : []);
    const dates = placesOf("days", "age-at-operation", "operation-year");
    const surgeons = file.name === "patients" ? placesOf("surgeon-code") : [];
    if (dates.length === 0 && surgeons.length === 0 && operation < 0) continue;
    await eachRow(file, (row) => {
      for (const place of dates) {
        const cell = row[place]?.trim() ?? "";
        if (cell === "") continue;
        seen.dates++;
        dateOrders.forEach((order, i) => {
          if (!Number.isNaN(dayOf(cell, order))) seen.readable[i]!++;
        });
      }
      for (const place of surgeons) {
        const name = row[place]?.trim();
        if (name) seen.surgeons.add(name);
      }
      if (operation < 0) return;
      patients.noteOperation(patients.placeOf((row[id] ?? "").trim()), row[operation] ?? "");
    });
  }
  return seen;
}

function recordOf(
  column: PlannedColumn,
  cells: number,
  lost: number,
): TableRecord["columns"][number] {
  const { shown, heading, action } = column;
  return {
    column: shown,
    became: action.do === "drop" ? null : heading,
    what: actionsInWords(action),
    cells,
    ...(lost > 0 && { lost }),
  };
}
