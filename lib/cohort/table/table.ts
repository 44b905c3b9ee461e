import type { OwnColumn } from "../../study/plan/mod.ts";
import type { TableName } from "../dictionary/mod.ts";
import type { FileFormat } from "../file/mod.ts";
import type { HeldColumn } from "../cells/mod.ts";
import type { Problem } from "../model/mod.ts";
import { type RowLines, rowLines } from "./row-lines.ts";

/** Problems of one kind that are listed one by one; what there is beyond is counted. */
export const mostListed = 10_000;

/** One file as read, before rules that compare cells. */
export interface Table {
  name: TableName;
  /** The file's name without its folder. */
  file: string;
  /** Columns of the study's own, beside the dictionary's. */
  own: readonly OwnColumn[];
  /** How the file is written; `null` if it could not be told. */
  format: FileFormat | null;
  /** Rows read. */
  n: number;
  columns: Map<string, HeldColumn>;
  /** The line on which each row ends. */
  lines: RowLines;
  /**
   * 1 where a row is not used: a patient without identity, group or follow-up, a visit without day
   * or grade.
   */
  invalid: Uint8Array<ArrayBuffer>;
  /** Rows whose values stand under the wrong headings: nothing else is said of them. */
  skewed: Set<number>;
  blanks: Record<string, number>;
  /** Cells, by column, whose code for a missing value was read as one. */
  missingCodes: Record<string, number>;
  /** Of a centre's own export: cells that were not understood, for its own eyes only. */
  unread?: UnreadCell[];
  /** Cells made missing because of an error. */
  cellsBlanked: number;
  problems: Problem[];
  /** Every error of a row, with its columns, whether its problem is listed or counted. */
  errors: { row: number; columns: string[]; rule: string }[];
  /** How often each kind of problem was found in rows, by column and rule. */
  found: Map<string, { count: number; like: Problem }>;
}

/** A cell that was not understood, as the file has it. */
export interface UnreadCell {
  row: number;
  column: string;
  text: string;
  why: string;
}

/** Notes a cell of an export that was not understood; of other files nothing is kept. */
export function noteUnread(table: Table, cell: UnreadCell): void {
  table.unread?.push(cell);
}

/** What a new problem must say; the rest has defaults. */
export type Finding =
  & Pick<Problem, "rule" | "severity" | "message" | "remedy">
  & Partial<Omit<Problem, "value">>
  & {
    /** Columns it was compared with, any of which may be the one that is wrong. */
    beside?: string[];
    /** Worked out only where the problem is listed, if it is a function. */
    value?: string | null | (() => string | null);
  };

/** A table of which nothing has been read. */
export function emptyTable(
  name: TableName,
  file: string,
  own: readonly OwnColumn[] = [],
): Table {
  return {
    name,
    file,
    own,
    format: null,
    n: 0,
    columns: new Map(),
    lines: rowLines(),
    invalid: new Uint8Array(1024),
    skewed: new Set(),
    blanks: {},
    missingCodes: {},
    cellsBlanked: 0,
    problems: [],
    errors: [],
    found: new Map(),
  };
}

/** Adds a row that ends on a line. */
export function addRow(table: Table, line: number): number {
  const row = table.n++;
  if (row === table.invalid.length) {
    table.invalid = new Uint8Array(table.invalid.buffer.transfer(2 * row));
  }
  table.lines.add(line);
  return row;
}

/** Adds a problem to a table, marking its row where it is an error. */
export function report(table: Table, row: number | null, finding: Finding): void {
  if (row !== null && table.skewed.has(row)) return;
  const { beside, ...said } = finding;
  if (row !== null && finding.severity === "error" && finding.column) {
    table.errors.push({ row, columns: [finding.column, ...beside ?? []], rule: finding.rule });
  }
  let known: { count: number; like: Problem } | undefined;
  if (row !== null) {
    const key = `${finding.rule} ${finding.column ?? ""}`;
    known = table.found.get(key);
    if (known && ++known.count > mostListed) return;
  }
  const problem: Problem = {
    table: table.name,
    line: row === null ? null : table.lines.at(row) ?? null,
    row,
    patient: table.name === "patients" ? row : null,
    column: null,
    ...said,
    value: (typeof finding.value === "function" ? finding.value() : finding.value) ?? null,
  };
  table.problems.push(problem);
  if (row !== null && !known) {
    table.found.set(`${finding.rule} ${finding.column ?? ""}`, { count: 1, like: problem });
  }
}

/** Adds one problem for all of a kind that were counted but not listed. */
export function reportUnlisted(table: Table): void {
  for (const { count, like } of table.found.values()) {
    if (count <= mostListed) continue;
    table.problems.push({
      ...like,
      line: null,
      row: null,
      patient: null,
      value: null,
      unlisted: count - mostListed,
    });
  }
}
