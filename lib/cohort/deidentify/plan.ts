import { type DateOrder, looksLikeColumnName } from "../cells/mod.ts";
import {
  type ExpectedColumn,
  type IdentifierFinding,
  type IdentifierKind,
  identifierOfHeading,
  type IdentifierScan,
  identifierScan,
  isOperationDate,
  looksLikeName,
} from "../identifiers/mod.ts";
import type { KnownColumn } from "./known-columns.ts";
import { refused } from "./read.ts";

/** A file as searched: its headings, and what looks like identifiers in it. */
export interface SearchedTable {
  header: readonly string[];
  scan: IdentifierScan;
  /** What each column may hold, `null` where nothing is known of it. */
  known: readonly (KnownColumn | null)[];
  /** Places of the columns of surgeons in which not every value is a code. */
  surgeons: ReadonlySet<number>;
}

/** What is done with one column. */
export type ColumnAction =
  | { do: "keep-known"; known: KnownColumn }
  | { do: "drop"; kind: IdentifierKind | null }
  | { do: "pseudonym" }
  | { do: "surgeon-code" }
  | { do: "operation-year" }
  | { do: "age-at-operation" }
  | { do: "days" };

/** A column with its action and its headings. */
export interface PlannedColumn {
  /** In the clean copy. */
  heading: string;
  /** In the record that goes with it: `column 3` where the heading could name somebody. */
  shown: string;
  /** In the file, for whoever keeps it. */
  raw: string;
  action: ColumnAction;
}

/**
 * Decides what is done with each column of a table.
 *
 * What is known leaves, cell by cell: numbers in their range, codes that are on the list. Record
 * numbers, surgeons and dates become pseudonyms, codes and days. Everything else is dropped: a
 * search for identifiers says what it seems to be, and dropping does not depend on it.
 *
 * @param options.id Place of the column of record numbers.
 * @param options.operation Place of the date of operation, -1 where there is none.
 */
export function planColumns(
  { header: names, scan, known, surgeons }: SearchedTable,
  options: { id: number; operation: number },
): PlannedColumn[] {
  const findings = scan.finish();
  const has = (name: string) => names.includes(name);
  const action = (position: number): ColumnAction => {
    if (position === options.id) return { do: "pseudonym" };
    if (position === options.operation) {
      return has("op_year") ? { do: "drop", kind: "date" } : { do: "operation-year" };
    }
    const found = findings.filter((finding) => finding.position === position);
    // a name that many rows have is not suspected by itself
    if (found.length === 0 && surgeons.has(position)) return { do: "surgeon-code" };
    return actionOf(found, names[position] ?? "", { has, known: known[position] ?? null });
  };
  return names.map((heading, position): PlannedColumn => {
    const may = known[position] || mayBeShown(heading);
    const chosen = action(position);
    const safe = may ? heading : `column ${position + 1}`;
    return { heading: headingAfter(safe, chosen), shown: safe, raw: heading, action: chosen };
  });
}

/** Whether a heading names nobody: it is words, and not words that could be a person's name. */
function mayBeShown(heading: string): boolean {
  return looksLikeColumnName(heading) &&
    (identifierOfHeading(heading) !== null || !looksLikeName(heading));
}

/** A search of a table of whose columns as much is known as the study file says. */
export function searchOf(
  header: readonly string[],
  known: readonly (KnownColumn | null)[],
): IdentifierScan {
  const expected = known.map((one): ExpectedColumn | undefined =>
    one?.column ? { column: one.column } : undefined
  );
  return identifierScan(header, expected);
}

function actionOf(
  found: IdentifierFinding[],
  heading: string,
  { has, known }: { has: (name: string) => boolean; known: KnownColumn | null },
): ColumnAction {
  const kinds = found.map(({ kind }) => kind);
  if (kinds.includes("date") && isMostly(found, "date")) {
    if (!/birth|born|dob|geb|naiss|nacim|nascita/i.test(heading)) return { do: "days" };
    return has("age") ? { do: "drop", kind: "date" } : { do: "age-at-operation" };
  }
  if (found.length > 0 && namesSurgeons(heading)) return { do: "surgeon-code" };
  return known ? { do: "keep-known", known } : { do: "drop", kind: kinds[0] ?? null };
}

/** Whether a heading says that a column tells who operated. */
export function namesSurgeons(heading: string): boolean {
  return /surgeon|operator|chirurg/i.test(heading);
}

function isMostly(found: IdentifierFinding[], kind: IdentifierKind): boolean {
  const finding = found.find((one) => one.kind === kind);
  return finding !== undefined && 2 * finding.cells > finding.filled;
}

function headingAfter(heading: string, action: ColumnAction): string {
  switch (action.do) {
    case "pseudonym":
      return "id";
    case "operation-year":
      return "op_year";
    case "age-at-operation":
      return "age";
    case "days":
      return `${heading} (days)`;
    default:
      return heading;
  }
}

/** Places of the columns whose heading says they hold the date of operation. */
function operationDates(header: readonly string[]): number[] {
  return header.flatMap((heading, position) => isOperationDate(heading) ? [position] : []);
}

/**
 * The order of a file's dates: the one in which every date can be read, if it is only one.
 *
 * @param counts How many dates can be read in each of `dateOrders`.
 * @returns `null` where none fits, or where more than one does and they differ.
 */
export function orderOfDates(counts: readonly number[]): DateOrder | null {
  const most = Math.max(...counts);
  if (most === 0) return null;
  // dates that begin with the year are read in any order
  if (counts[0] === most) return "year-first";
  return counts[1] === counts[2] ? null : counts[1] === most ? "day-first" : "month-first";
}

/** Place of the column of record numbers, which must be there. */
export function columnNamed(header: readonly string[], name: string, where: string): number {
  const position = header.indexOf(name.trim());
  if (position >= 0) return position;
  throw refused(
    where,
    `no column of record numbers has the heading given (default "id"); say which one with --id`,
  );
}

/** Place of the date of operation: the one named, or the only one that could be it; -1 for none. */
export function operationColumn(header: readonly string[], named: string | undefined): number {
  if (named !== undefined) {
    const position = header.indexOf(named.trim());
    if (position >= 0) return position;
    throw refused("patients", "no column has the heading given with --operation");
  }
  const found = operationDates(header);
  if (found.length <= 1) return found[0] ?? -1;
  throw refused(
    "patients",
    `${found.length} columns could hold the date of operation; say which one with --operation`,
  );
}

/** How dates are written: as stated, else as they can be read; null where there are none. */
export function dateOrder(
  stated: DateOrder | undefined,
  { dates, readable }: { dates: number; readable: number[] },
): DateOrder | null {
  if (stated) return stated;
  if (dates === 0) return null;
  const order = orderOfDates(readable);
  if (order) return order;
  throw refused(
    "dates",
    "it cannot be told from them whether the day or the month comes first; say it with --dates",
  );
}
