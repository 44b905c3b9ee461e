import type { PrintedPair } from "../../words/mod.ts";
import type { TableColumn, TableRow } from "../items/mod.ts";

const parts = ["first", "second", "change", "range"] as const;
const keyOf = {
  first: "printedFirst",
  second: "printedSecond",
  change: "printedChange",
  range: "printedRange",
} as const;

/** Names of these columns. */
export type PairKey = typeof keyOf[keyof typeof keyOf];

/** Columns for what the first page prints of a row: in files alone, beside the numbers. */
export const pairColumns: (TableColumn & { key: PairKey })[] = [
  { key: "printedFirst", label: "First, on the first page", kind: "text", onlyInFiles: true },
  { key: "printedSecond", label: "Second, on the first page", kind: "text", onlyInFiles: true },
  { key: "printedChange", label: "Difference, on the first page", kind: "text", onlyInFiles: true },
  { key: "printedRange", label: "Range, on the first page", kind: "text", onlyInFiles: true },
];

/** A printed pair as cells of a row, empty where there is none. */
export function pairRow(printed: PrintedPair | null): TableRow {
  return Object.fromEntries(parts.map((part) => [keyOf[part], printed?.[part] ?? ""]));
}

/** The printed pair of a row as it was shown. */
export function pairOf(row: TableRow): PrintedPair | null {
  const [first, second, change, range] = parts.map((part) => String(row[keyOf[part]] ?? ""));
  if (!first || !second || !change || !range) return null;
  return { first, second, change, range };
}
