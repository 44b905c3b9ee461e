import { type DateOrder, looksLikeColumnName } from "../cells/mod.ts";
import { type DictionaryColumn, dictionaryColumn } from "../dictionary/mod.ts";
import {
  type ExpectedColumn,
  type IdentifierFinding,
  type IdentifierKind,
  type IdentifierScan,
  identifierScan,
  isOperationDate,
} from "../identifiers/mod.ts";

/** A file as searched: its headings, and what looks like identifiers in it. */
export interface SearchedTable {
  header: readonly string[];
  scan: IdentifierScan;
  /** Places of the columns of surgeons in which not every value is a code. */
  surgeons: ReadonlySet<number>;
}

/** What is done with one column. */
export type ColumnAction =
  | { do: "keep" }
  | { do: "drop"; kind: IdentifierKind }
  | { do: "pseudonym" }
  | { do: "surgeon-code" }
  | { do: "operation-year" }
  | { do: "age-at-operation" }
  | { do: "days" }
  | { do: "top-code"; cells: number }
  | { do: "blank-cells"; kinds: IdentifierKind[] };

/** A column with its action, its heading afterwards, and the heading as it may be printed. */
export interface PlannedColumn {
  heading: string;
  shown: string;
  action: ColumnAction;
}

/** What is done with a table, column by column, and the scan that tells suspicious cells. */
export interface TablePlan {
  columns: PlannedColumn[];
  scan: IdentifierScan;
}

/** A share of suspicious cells above which a column is dropped whole. */
const mostBlanked = 0.2;

/**
 * Decides what is done with each column of a table, from a search for identifiers.
 *
 * @param options.id Place of the column of record numbers.
 * @param options.operation Place of the date of operation, -1 where there is none.
 */
export function planColumns(
  { header: names, scan, surgeons }: SearchedTable,
  options: { id: number; operation: number },
): TablePlan {
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
    return actionOf(found, names[position] ?? "", has);
  };
  const columns = names.map((heading, position): PlannedColumn => {
    const safe = looksLikeColumnName(heading) ? heading : `column_${position + 1}`;
    const chosen = action(position);
    return { heading: headingAfter(safe, chosen), shown: safe, action: chosen };
  });
  return { columns, scan };
}

/** A search of a table whose columns are known by the dictionary's names, if at all. */
export function searchOf(
  header: readonly string[],
  name: "patients" | "visits",
): IdentifierScan {
  const expected = header.map((heading): ExpectedColumn | undefined => {
    const column: DictionaryColumn | undefined = dictionaryColumn(name, heading.trim());
    return column && { column };
  });
  return identifierScan(header, expected);
}

function actionOf(
  found: IdentifierFinding[],
  heading: string,
  has: (name: string) => boolean,
): ColumnAction {
  const [first] = found;
  if (!first) return { do: "keep" };
  const kinds = found.map(({ kind }) => kind);
  if (kinds.includes("date") && isMostly(found, "date")) {
    if (!/birth|born|dob|geb|naiss|nacim|nascita/i.test(heading)) return { do: "days" };
    return has("age") ? { do: "drop", kind: "date" } : { do: "age-at-operation" };
  }
  if (namesSurgeons(heading)) return { do: "surgeon-code" };
  if (kinds.length === 1 && first.kind === "age") return { do: "top-code", cells: first.cells };
  const cells = found.reduce((sum, finding) => sum + finding.cells, 0);
  return first.because === "values" && cells <= mostBlanked * first.filled
    ? { do: "blank-cells", kinds }
    : { do: "drop", kind: first.kind };
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
export function operationDates(header: readonly string[]): number[] {
  return header.flatMap((heading, position) => isOperationDate(heading) ? [position] : []);
}

/** The orders in which dates are written. */
export const dateOrders: readonly DateOrder[] = ["year-first", "day-first", "month-first"];

/**
 * The order of a file's dates: the one in which every date can be read, if it is only one.
 *
 * @param counts How many dates can be read in each of {@link dateOrders}.
 * @returns `null` where none fits, or where more than one does and they differ.
 */
export function orderOfDates(counts: readonly number[]): DateOrder | null {
  const most = Math.max(...counts);
  if (most === 0) return null;
  // dates that begin with the year are read in any order
  if (counts[0] === most) return "year-first";
  return counts[1] === counts[2] ? null : counts[1] === most ? "day-first" : "month-first";
}
