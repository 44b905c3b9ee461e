import { basename } from "node:path";
import { type ColumnReader, columnReader } from "./column-reader.ts";
import { readCsv } from "./csv.ts";
import {
  dictionary,
  type DictionaryColumn,
  dictionaryColumn,
  type TableName,
} from "./dictionary.ts";
import { looksLikeColumnName } from "./suspicion.ts";
import type { Column, Problem, Severity } from "./types.ts";

/** One file as read, before rules that compare cells. */
export interface Table {
  name: TableName;
  /** The file's name without its folder. */
  file: string;
  /** Rows read. */
  n: number;
  columns: Map<string, Column>;
  /** The line on which each row ends. */
  lines: Int32Array;
  /** 1 where a row has an error. */
  invalid: Uint8Array;
  blanks: Record<string, number>;
  problems: Problem[];
}

/** What a new problem must say; the rest has defaults. */
export type Finding = Pick<Problem, "rule" | "severity" | "message" | "remedy"> & Partial<Problem>;

/** Adds a problem to a table, marking its row where it is an error. */
export function report(table: Table, row: number | null, problem: Finding): void {
  if (row !== null && problem.severity === "error") table.invalid[row] = 1;
  table.problems.push({
    table: table.name,
    line: row === null ? null : table.lines[row] ?? null,
    row,
    patient: table.name === "patients" ? row : null,
    column: null,
    value: null,
    ...problem,
  });
}

/**
 * Reads one file of a cohort: header by the mapping, cells by the dictionary.
 *
 * No row is dropped. Faults of a cell that may be an identifier, and faults of the file, are
 * structural; their values are never kept.
 */
export async function readTable(
  name: TableName,
  path: string,
  mapping: Readonly<Record<string, string>> = {},
): Promise<Table> {
  const table: Table = {
    name,
    file: basename(path),
    n: 0,
    columns: new Map(),
    lines: new Int32Array(1024),
    invalid: new Uint8Array(0),
    blanks: {},
    problems: [],
  };
  let header: (ColumnReader | null)[] | undefined;
  const faults: { row: number; column: DictionaryColumn; finding: Finding }[] = [];
  const fault = await readCsv(path, (record, line) => {
    if (!header) {
      header = readHeader(table, record, mapping);
      return;
    }
    const row = table.n++;
    if (row === table.lines.length) {
      const larger = new Int32Array(2 * row);
      larger.set(table.lines);
      table.lines = larger;
    }
    table.lines[row] = line;
    if (record.length !== header.length) {
      report(table, row, {
        rule: "row-length",
        severity: "structural",
        message: `has ${record.length} values where the header has ${header.length}`,
        remedy: "put values that contain a comma in quotation marks",
      });
    }
    for (let i = 0; i < header.length; i++) {
      const reader = header[i];
      const cell = reader?.take(record[i] ?? "");
      if (!reader || !cell) continue;
      const severity: Severity = cell.rule === "number" || cell.rule === "code"
        ? "error"
        : "structural";
      faults.push({ row, column: reader.column, finding: { ...cell, severity } });
    }
  });
  table.invalid = new Uint8Array(table.n);
  table.lines = table.lines.slice(0, table.n);
  for (const { row, column, finding } of faults) {
    report(table, row, { ...finding, column: column.name });
  }
  for (const reader of header ?? []) {
    if (!reader) continue;
    table.columns.set(reader.column.name, reader.finish());
    if (reader.blanks > 0) table.blanks[reader.column.name] = reader.blanks;
  }
  if (fault) {
    const { line, message, remedy } = fault;
    report(table, null, { rule: "file", severity: "structural", line, message, remedy });
  } else if (!header) {
    report(table, null, {
      rule: "file",
      severity: "structural",
      message: "the file is empty",
      remedy: "it must start with a line of column names",
    });
  }
  return table;
}

function readHeader(
  table: Table,
  names: string[],
  mapping: Readonly<Record<string, string>>,
): (ColumnReader | null)[] {
  const stop = (finding: Omit<Finding, "severity">) =>
    report(table, null, { ...finding, line: 1, severity: "structural" });
  const renamed = new Map(Object.entries(mapping));
  const taken = new Set<string>();
  const readers = names.map((raw, position) => {
    const theirs = raw.trim();
    const ours = renamed.get(theirs) ?? theirs;
    renamed.delete(theirs);
    const column = dictionaryColumn(table.name, ours);
    if (!column) {
      const shown = looksLikeColumnName(theirs) ? `"${theirs}"` : `number ${position + 1}`;
      stop({
        rule: "unknown-column",
        message: `column ${shown} is not in the dictionary`,
        remedy: "remove it, or give it a dictionary name in the study file's mapping",
      });
      return null;
    }
    if (taken.has(column.name)) {
      stop({
        rule: "column-twice",
        column: column.name,
        message: "the column is there twice",
        remedy: "keep one of them",
      });
      return null;
    }
    taken.add(column.name);
    return columnReader(column);
  });
  if (taken.size === 0) return noHeader(table, names);
  for (const [theirs, ours] of renamed) {
    stop({
      rule: "mapping",
      column: ours,
      message: `the study file maps "${theirs}" to it, but the file has no such column`,
      remedy: "correct the mapping",
    });
  }
  for (const column of dictionary[table.name]) {
    if (column.requirement !== "required" || taken.has(column.name)) continue;
    stop({
      rule: "missing-column",
      column: column.name,
      message: `the column is missing (${column.label.toLowerCase()})`,
      remedy: "add it, or map the column that holds it; its values may be blank unless they " +
        "identify, group or time a patient",
    });
  }
  return readers;
}

/** A first line without one column of the dictionary: one problem in place of dozens. */
function noHeader(table: Table, names: string[]): null[] {
  table.problems.length = 0;
  const separator = names.length === 1 ? /[;\t]/.exec(names[0] ?? "")?.[0] : undefined;
  report(table, null, {
    rule: "header",
    severity: "structural",
    line: 1,
    message: separator
      ? `values are separated by ${separator === ";" ? "semicolons" : "tabs"}, not commas`
      : "the first line holds no column name of the dictionary",
    remedy: separator
      ? "save the file as comma-separated CSV"
      : "the first line must hold the column names",
  });
  return names.map(() => null);
}
