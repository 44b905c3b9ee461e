import type { MatchingOrders } from "../../sensitivity/orders/mod.ts";
import type { ForestRow, ForestSection } from "../../figures/estimates/mod.ts";
import { formatNumber } from "../../words/mod.ts";
import { type MethodLine, plannedName } from "../tables/mod.ts";
import { contrastRow } from "./threshold-subgroups.ts";

/** A method's difference at one time, and whether it made the groups alike. */
export type MethodRow = ForestRow & { adjusted: boolean };

/**
 * Each method's difference at one time, in the order given; what is called unadjusted
 * is not adjusted.
 */
export function methodRows(ways: readonly MethodLine[], time: number): MethodRow[] {
  return ways.flatMap(({ method, contrasts }) =>
    contrasts.filter((one) => one.time === time).map((contrast): MethodRow => ({
      ...contrastRow(method, contrast),
      adjusted: method !== "Unadjusted",
    }))
  );
}

/** The matched difference in each order of matching. */
export function orderRows({ named }: MatchingOrders): ForestRow[] {
  return named.map(({ label, planned, contrast }) =>
    contrastRow(plannedName({ label, planned }), contrast)
  );
}

/** Sections of a forest figure: the patients as they were, then every adjusted answer. */
export function methodSections(rows: readonly MethodRow[]): ForestSection[] {
  return [
    { label: "As the patients were", rows: rows.filter(({ adjusted }) => !adjusted) },
    { label: "Adjusted", rows: rows.filter(({ adjusted }) => adjusted) },
  ];
}

/** How far the adjusted methods lie apart, and how many of their ranges include no difference. */
export function methodsSentence(
  rows: readonly MethodRow[],
  time: number,
  what = "survival",
): string {
  const known = rows.filter(({ adjusted, lower, upper }) => adjusted && lower <= upper);
  if (known.length === 0) return "No method could make the comparison.";
  const per100 = known.map(({ estimate }) => 100 * estimate);
  const [least, most] = [Math.min(...per100), Math.max(...per100)].map((end) =>
    formatNumber(end, { digits: 1 })
  );
  const open = known.filter(({ lower, upper }) => lower <= 0 && upper >= 0).length;
  const zero = open === known.length
    ? "within all of"
    : open === 0
    ? "outside all of"
    : `within ${open} of`;
  return `By ${known.length} adjusted methods the difference in ${what} at ${time} years is from ` +
    `${least} to ${most} per 100 (repair minus replacement); zero lies ${zero} their ranges.`;
}
