import { basename } from "node:path";
import type { Mapping } from "../../study/mapping/mod.ts";
import type { OwnColumn } from "../../study/plan/mod.ts";
import {
  type CellFault,
  type ColumnReader,
  filtrationRate,
  heldNumbers,
  numberAt,
  numbersOf,
  placesByDay,
  shownText,
  textAt,
} from "../cells/mod.ts";
import type { TableName } from "../dictionary/mod.ts";
import {
  type FormatOptions,
  type ReadingProgress,
  readRecords,
  type RecordTaker,
} from "../file/mod.ts";
import { type Layout, readLaidOut } from "../layout/mod.ts";
import { type IdentifierWatch, watchIdentifiers } from "./identifier-watch.ts";
import { planRecords, type RecordPlan } from "./record-plan.ts";
import { addRow, emptyTable, noteUnread, report, type Table } from "./table.ts";
import type { Severity } from "../model/mod.ts";

/** Where a table is, and how to read it. */
export interface TableSource {
  path: string;
  mapping: Mapping;
  /** Columns of the study's own. */
  own?: readonly OwnColumn[];
  format?: FormatOptions;
  progress?: (progress: ReadingProgress) => void;
  /** Of a centre's own export, which has record numbers and dates: how it is taken. */
  taken?: ExportTaking;
}

/** How a centre's own export is read: nobody watches for identifiers, as there are some. */
export interface ExportTaking {
  layout: Layout;
  /** Headings in place of those of the file, in its order; there may be more. */
  header(names: string[]): string[];
  /**
   * Cells in place of those of the file: pseudonyms for record numbers, labels for names. `null`
   * for a note beneath the table.
   */
  row(cells: string[]): string[] | null;
}

/**
 * Reads one file of a cohort: header by the mapping, cells by the dictionary.
 *
 * No row is dropped. Faults of a cell that may be an identifier, and faults of the file, are
 * structural; their values are never kept. Streams text: the columns are held once, and nothing
 * else that grows with the file.
 */
export async function readTable(name: TableName, source: TableSource): Promise<Table> {
  const table = emptyTable(name, basename(source.path), source.own);
  let plan: RecordPlan | undefined;
  let watch: IdentifierWatch | undefined;
  const { taken } = source;
  if (taken) table.unread = [];
  const read = (taker: RecordTaker) =>
    taken
      ? readLaidOut(source.path, taken.layout, taker)
      : readRecords(source.path, taker, source.format);
  const fault = await read({
    begin(format) {
      table.format = format;
    },
    take(record, line) {
      if (plan) {
        const cells = taken ? taken.row(record) : record;
        if (cells) takeRow(table, plan, cells, { line, watch });
      } else {
        plan = planRecords(table, taken ? taken.header(record) : record, source.mapping);
        if (!taken) watch = watchIdentifiers(table, record, source.mapping);
      }
    },
    progress(bytes, total) {
      source.progress?.({ file: table.file, rows: table.n, bytes, total });
    },
  });
  plan?.readers.forEach((reader, position) => reader && watch?.pass(position, reader.passed));
  watch?.finish();
  table.invalid = table.invalid.subarray(0, table.n);
  for (const reader of plan?.readers ?? []) if (reader) keep(table, reader);
  for (const { rule, reader } of plan?.derived ?? []) {
    keep(table, reader);
    const days = numbersOf(table.columns.get(rule.column));
    if (rule.rule !== "place-by-date" || !days) continue;
    table.columns.set(rule.column, heldNumbers(placesByDay(days)));
  }
  // once age and sex are known, whichever way they came
  for (const { rule } of plan?.derived ?? []) {
    if (rule.rule === "filtration-rate") finishFiltrationRates(table, rule.column);
  }
  if (fault) {
    report(table, null, { rule: "file", severity: "structural", ...fault });
  } else if (!plan) {
    report(table, null, {
      rule: "file",
      severity: "structural",
      message: "the file is empty",
      remedy: "it must start with a line of column names",
    });
  }
  return table;
}

/** Turns a column of creatinine into rates; without age or sex there is none. */
function finishFiltrationRates(table: Table, name: string): void {
  const creatinine = numbersOf(table.columns.get(name));
  if (!creatinine) return;
  const [age, sex] = [table.columns.get("age"), table.columns.get("sex")];
  const rates = creatinine.map((value, row) => {
    const own = textAt(sex, row);
    if (own !== "F" && own !== "M") return NaN;
    return Math.round(filtrationRate({ creatinine: value, age: numberAt(age, row), sex: own }));
  });
  table.columns.set(name, heldNumbers(rates));
}

function takeRow(
  table: Table,
  plan: RecordPlan,
  record: string[],
  { line, watch }: { line: number; watch?: IdentifierWatch },
): void {
  const row = addRow(table, line);
  let skewed = false;
  if (record.length !== plan.width) {
    const wide = record.length > plan.width;
    // a workbook does not store the blank cells at the end of a row
    skewed = wide || table.format?.kind === "csv";
    if (skewed) {
      report(table, row, {
        rule: "row-length",
        severity: "structural",
        message: `has ${record.length} values where the header has ${plan.width}`,
        remedy: "put values that contain a comma in quotation marks",
      });
      table.skewed.add(row);
    }
  }
  const { readers } = plan;
  watch?.row(record);
  for (let i = 0; i < readers.length; i++) {
    const reader = readers[i];
    const cell = record[i] ?? "";
    if (!reader) {
      watch?.look(i, cell, line);
      continue;
    }
    const { passed } = reader;
    const before = passed.numerals + passed.codes;
    const fault = reader.take(skewed ? "" : cell);
    if (passed.numerals + passed.codes === before) watch?.look(i, cell, line);
    if (!fault) continue;
    reportCell(table, row, reader, fault, cell);
    noteUnread(table, { row, column: reader.column.name, text: cell, why: fault.message });
  }
  for (const { derive, reader, places } of plan.derived) {
    const made = skewed ? "" : derive(record);
    const text = typeof made === "string" ? made : "";
    const fault = reader.take(text);
    if (fault) reportCell(table, row, reader, fault, text);
    const why = fault?.message ?? (typeof made === "string" ? null : made.unreadable);
    if (why !== null) {
      const text = places.map((place) => record[place] ?? "").join(" | ");
      noteUnread(table, { row, column: reader.column.name, text, why });
    }
    if (typeof made === "string") continue;
    report(table, row, {
      rule: "derivation",
      severity: "error",
      column: reader.column.name,
      message: made.unreadable,
      remedy: "correct the values it is worked out from, or the order in the study file's mapping",
    });
  }
}

function reportCell(
  table: Table,
  row: number,
  reader: ColumnReader,
  fault: CellFault,
  cell: string,
): void {
  const severity: Severity = fault.rule === "number" || fault.rule === "code"
    ? "error"
    : "structural";
  const value = severity === "error" ? shownText(cell) : null;
  report(table, row, { ...fault, severity, value, column: reader.column.name });
}

function keep(table: Table, reader: ColumnReader): void {
  const { name } = reader.column;
  table.columns.set(name, reader.finish());
  if (reader.blanks > 0) table.blanks[name] = reader.blanks;
  if (reader.missingCodes > 0) table.missingCodes[name] = reader.missingCodes;
}
