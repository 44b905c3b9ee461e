import type { MatchedSample, WeightedSample } from "../../balance/samples/mod.ts";
import type { MatchingChoice, WeightChoice } from "../../balance/choices/mod.ts";
import type { BalanceTable } from "../../balance/tables/mod.ts";
import type { Analysis } from "../../cohort/model/mod.ts";
import { boundedCount } from "../../disclosure/mod.ts";
import type { BalanceRow } from "../../figures/patients/mod.ts";
import type { MatchingOrders } from "../../sensitivity/orders/mod.ts";
import type { GroupLabels, TableHeading } from "../items/mod.ts";
import { type DisplayTable, table } from "../show/mod.ts";
import { hundredfold, limitColumns } from "../pair-tables/mod.ts";

/**
 * The rows of a figure of balance: everyone, matched pairs, weighted. Categories have no direction.
 */
export function balanceLines({ rows }: BalanceTable): BalanceRow[] {
  return rows.map(({ label, kind, before, afterMatching, afterWeighting }) => ({
    label,
    differences: [before, afterMatching, afterWeighting].map((value) => value ?? NaN),
    unsigned: kind === "category",
  }));
}

/** Standardised differences before and after, one line a characteristic. */
export function differencesTable(heading: TableHeading, balance: BalanceTable): DisplayTable {
  const number = { kind: "number", digits: 2 } as const;
  return table({
    ...heading,
    columns: [
      { key: "label", label: "Characteristic", kind: "text" },
      { key: "before", label: "Everyone", ...number },
      { key: "afterMatching", label: "Matched pairs", ...number },
      { key: "afterWeighting", label: "Weighted", ...number },
    ],
    rows: balance.rows.map(({ label, before, afterMatching, afterWeighting }) => (
      { label, before, afterMatching, afterWeighting }
    )),
  });
}

/** How many squares and products there are, and how many differ by over a tenth. */
export function finerComparisons(
  balance: BalanceTable,
  joint: BalanceTable,
): { comparisons: number; over: (key: BalanceKey) => number } {
  return {
    comparisons: joint.rows.length - balance.rows.length,
    over: (key) => (joint.aboveTenth[key] ?? 0) - (balance.aboveTenth[key] ?? 0),
  };
}

/** Which sample a standardised difference is of. */
type BalanceKey = "before" | "afterMatching" | "afterWeighting";

/** How many squares and products there are, and how many still differ, in each sample. */
export function finerTable(
  heading: TableHeading,
  balance: BalanceTable,
  joint: BalanceTable,
): DisplayTable {
  const { comparisons, over } = finerComparisons(balance, joint);
  const whole = { kind: "number", digits: 0 } as const;
  return table({
    ...heading,
    columns: [
      { key: "sample", label: "Sample", kind: "text" },
      { key: "comparisons", label: "Squares and products", ...whole },
      { key: "over", label: "Above a tenth", ...whole },
    ],
    rows: ([
      ["Everyone", "before"],
      ["Matched pairs", "afterMatching"],
      ["Weighted", "afterWeighting"],
    ] as const).map(([sample, key]) => ({ sample, comparisons, over: over(key) })),
  });
}

/** How many patients each group has, matched, and is worth when weighted. */
export function effectiveSizeTable(
  heading: TableHeading,
  { groups: { labels, counts }, treated }: Pick<Analysis, "groups" | "treated">,
  { matched, weighted }: { matched: MatchedSample; weighted: WeightedSample },
): DisplayTable {
  const inside = (code: number) =>
    matched.weight.reduce((sum, w, row) => sum + (w > 0 && treated[row] === code ? 1 : 0), 0);
  return table({
    ...heading,
    columns: [
      { key: "group", label: "Group" },
      { key: "everyone", label: "Everyone" },
      { key: "matched", label: "Matched" },
      { key: "effective", label: "Effective", digits: 0 },
      { key: "largest", label: "Heaviest patient's share", kind: "percent" },
    ],
    rows: ([["repair", 1], ["replacement", 0]] as const).map(([arm, code]) => ({
      group: labels[arm],
      everyone: counts[arm],
      matched: inside(code),
      effective: weighted[arm].effective,
      largest: weighted[arm].largestShare,
    })),
  });
}

/** What each way of weighting buys in balance and costs in information. */
export function weightChoiceTable(
  heading: TableHeading & {
    labels: GroupLabels;
    smallestCell: number;
  },
  choices: readonly WeightChoice[],
): DisplayTable {
  const { labels, smallestCell, ...rest } = heading;
  const number = { kind: "number", digits: 0 } as const;
  return table({
    ...rest,
    columns: [
      { key: "whom", label: "Applies to" },
      { key: "how", label: "Weights" },
      { key: "cut", label: "Patients cut", kind: "number" },
      { key: "repair", label: `Effective, ${labels.repair}`, ...number },
      { key: "replacement", label: `Effective, ${labels.replacement}`, ...number },
      { key: "largest", label: "Largest difference", kind: "number", digits: 3 },
    ],
    rows: choices.map(({ whom, how, cut, repair, replacement, largest }) => (
      { whom, how, cut: boundedCount(cut, smallestCell), repair, replacement, largest }
    )),
  });
}

/**
 * How many pairs each order of matching makes, how close they are and how alike the groups become.
 */
export function matchingChoiceTable(
  heading: TableHeading,
  choices: readonly MatchingChoice[],
): DisplayTable {
  return table({
    ...heading,
    columns: [
      { key: "order", label: "Matching" },
      { key: "pairs", label: "Pairs", kind: "number" },
      { key: "total", label: "Total distance", kind: "number", digits: 1 },
      { key: "mean", label: "Mean distance", kind: "number", digits: 3 },
      { key: "largest", label: "Largest standardised difference", kind: "number", digits: 3 },
    ],
    rows: choices.map(({ label, planned, pairs, total, mean, largest }) => (
      { order: plannedName({ label, planned }), pairs, total, mean, largest }
    )),
  });
}

/** The matched difference in each order of matching, per 100 patients. */
export function matchingOrderTable(
  heading: TableHeading & { confidence?: number },
  { named: orders }: MatchingOrders,
): DisplayTable {
  const { confidence = 0.95, ...rest } = heading;
  return table({
    ...rest,
    columns: [
      { key: "order", label: "Matching" },
      { key: "pairs", label: "Pairs", kind: "number" },
      ...limitColumns(confidence),
    ],
    rows: orders.map(({ label, planned, sample, contrast }) => ({
      order: plannedName({ label, planned }),
      pairs: sample.pairs.length,
      ...hundredfold(contrast.difference),
    })),
  });
}

/** What one of several choices is called, the plan's own marked. */
export function plannedName({ label, planned }: { label: string; planned: boolean }): string {
  return planned ? `${label} (as planned)` : label;
}
