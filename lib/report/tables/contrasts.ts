import { DataError, type Limits } from "../../numerics/mod.ts";
import { publishedPer100 } from "../../disclosure/mod.ts";
import { levelText } from "../../words/mod.ts";
import type { TableColumn } from "../show/mod.ts";

/** Columns of a difference per 100 with its limits and p value. */
export function differenceColumns(confidence: number): TableColumn[] {
  return [...limitColumns(confidence), { key: "p", label: "p", kind: "pvalue" }];
}

/** Columns of a difference per 100 with its limits. */
export function limitColumns(confidence: number): TableColumn[] {
  const digits = { kind: "number", digits: 1 } as const;
  return [
    { key: "estimate", label: "Difference", unit: "per 100", ...digits },
    { key: "lower", label: `${levelText(confidence)} from`, ...digits },
    { key: "upper", label: "to", ...digits },
  ];
}

/** The estimate of either group of a contrast, by the group's code: 1 the first, 0 the second. */
export function estimatesOf(
  { groups }: { groups: readonly { group: string | number; estimate: number }[] },
): (code: 0 | 1) => number {
  return (code) => groups.find(({ group }) => Number(group) === code)!.estimate;
}

/** Two groups at one horizon: group 0 = replacement, group 1 = repair; repair minus replacement. */
export interface ShownContrast {
  /** Horizon. */
  time: number;
  /** Each group, and how many were still at risk; under weights their effective number too. */
  groups: readonly (Limits & {
    group: string | number;
    atRisk: number;
    effectiveAtRisk?: number;
  })[];
  /** Repair minus replacement. */
  difference: Limits & { pValue: number };
}

/**
 * The contrast at a time; where that time is not among them, the first.
 *
 * @throws {DataError} where there is none.
 */
export function contrastAt<Found extends { time: number }>(
  contrasts: readonly Found[],
  time: number,
): Found {
  const found = contrasts.find((one) => one.time === time) ?? contrasts[0];
  if (!found) throw new DataError("contrasts", "at least one", "none");
  return found;
}

/**
 * An estimate of a proportion with its limits, per 100, as it is published: to a tenth of one in
 * 100, see {@link table}.
 */
export function hundredfold(
  { estimate, lower, upper }: Limits,
): Record<"estimate" | "lower" | "upper", number | null> {
  return {
    estimate: publishedPer100(estimate),
    lower: publishedPer100(lower),
    upper: publishedPer100(upper),
  };
}
