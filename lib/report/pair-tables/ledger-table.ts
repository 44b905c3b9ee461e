import { levelText } from "../../words/mod.ts";
import { type ComparedPair, comparedPairOf } from "./contrasts.ts";
import {
  type DisplayTable,
  type GroupLabels,
  pairColumns,
  pairRow,
  table,
  type TableInput,
  type TableRow,
} from "../show/mod.ts";

/** One line of the ledger: a benefit or a harm in both groups. */
export interface LedgerLine extends ComparedPair {
  /**
   * Names it in every file: `alive`, `valve-failure`, `early-death`, or the study's own endpoint.
   */
  id: string;
  /** What is counted, such as "Left theatre with a leak". */
  label: string;
  /** When it is counted: "at 5 years", "within 30 days". */
  when: string;
  /** What the numbers are of: whole patients of 100, days, months. */
  unit: "of 100" | "days" | `months of ${number}`;
  /** What stands in place of numbers: "not in the file", or why there are too few; else empty. */
  instead: string;
  /** Whether more of it is good for the patient. */
  goodIfMore: boolean;
}

/** The id under which the ledger is shown: the page finds it by this. */
export const ledgerId = "ledger";

/**
 * Benefit and harm of both groups side by side, in whole patients of 100.
 *
 * The item is a table of the id {@link ledgerId} (`ledger`); the page takes it apart with
 * {@link ledgerLines}. What the file does not hold has a line too, which says "not in the file", so
 * that a harm which nobody recorded is missed visibly.
 */
export function ledgerTable(
  heading: Pick<TableInput, "title" | "caption" | "notes"> & {
    labels: GroupLabels;
    confidence?: number;
  },
  lines: readonly LedgerLine[],
): DisplayTable {
  const { labels, confidence = 0.95, ...rest } = heading;
  return table({
    ...rest,
    id: ledgerId,
    columns: [
      { key: "label", label: "Outcome", kind: "text" },
      { key: "when", label: "When", kind: "text" },
      { key: "unit", label: "Unit", kind: "text" },
      { key: "first", label: labels.repair, kind: "number", digits: 1 },
      { key: "second", label: labels.replacement, kind: "number", digits: 1 },
      ...pairColumns,
      { key: "difference", label: "Difference", kind: "number", digits: 1 },
      { key: "lower", label: `${levelText(confidence)} from`, kind: "number", digits: 1 },
      { key: "upper", label: "to", kind: "number", digits: 1 },
      { key: "instead", label: "In place of numbers", kind: "text" },
      { key: "goodIfMore", label: "More is", kind: "text" },
      { key: "id", label: "Id", kind: "text", onlyInFiles: true },
    ],
    rows: lines.map(({ printed, ...line }): TableRow => ({
      ...line,
      ...pairRow(printed),
      goodIfMore: line.goodIfMore ? "better" : "worse",
    })),
  });
}

/** The lines of a ledger as it was shown. */
export function ledgerLines(shown: Pick<TableInput, "rows">): LedgerLine[] {
  const text = (value: TableRow[string] | undefined) => String(value ?? "");
  return shown.rows.map((row) => ({
    id: text(row.id),
    label: text(row.label),
    when: text(row.when),
    unit: unitOf(text(row.unit)),
    ...comparedPairOf(row),
    instead: text(row.instead),
    goodIfMore: row.goodIfMore === "better",
  }));
}

function unitOf(text: string): LedgerLine["unit"] {
  const months = /^months of (\d+)$/.exec(text)?.[1];
  return months ? `months of ${Number(months)}` : text === "days" ? "days" : "of 100";
}
