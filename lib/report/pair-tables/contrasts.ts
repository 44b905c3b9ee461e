import { DataError, type Limits } from "../../numerics/mod.ts";
import { publishedPer100 } from "../../disclosure/mod.ts";
import { levelText, pairInWords, per100, type PrintedPair } from "../../words/mod.ts";
import { pairOf, type TableColumn, type TableRow } from "../show/mod.ts";

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

/**
 * Two groups' numbers and their difference, in one unit, to a tenth, for files; and as the first
 * page prints them.
 */
export interface ComparedPair {
  /** Of the first group; null where there is none to publish. */
  first: number | null;
  /** Of the second group. */
  second: number | null;
  /** First minus second. */
  difference: number | null;
  /** Lower limit of the difference. */
  lower: number | null;
  /** Upper limit of the difference. */
  upper: number | null;
  /** How they are printed beside each other; null where there is no number. */
  printed: PrintedPair | null;
}

/** The numbers of a row as it was shown. */
export function comparedPairOf(row: TableRow): ComparedPair {
  const number = (key: string) => {
    const value = row[key];
    return typeof value === "number" ? value : null;
  };
  return {
    first: number("first"),
    second: number("second"),
    printed: pairOf(row),
    difference: number("difference"),
    lower: number("lower"),
    upper: number("upper"),
  };
}

/** Where there is no number. */
export const noPair: ComparedPair = {
  first: null,
  second: null,
  difference: null,
  lower: null,
  upper: null,
  printed: null,
};

/** The shares of two groups and their difference, of 100. */
export function comparedPair(contrast: {
  groups: readonly { group: string | number; estimate: number }[];
  difference: Limits;
}): ComparedPair {
  const of = estimatesOf(contrast);
  const { estimate, lower, upper } = contrast.difference;
  return {
    first: publishedPer100(of(1)),
    second: publishedPer100(of(0)),
    difference: publishedPer100(estimate),
    lower: publishedPer100(lower),
    upper: publishedPer100(upper),
    printed: pairInWords({
      first: per100(of(1)),
      second: per100(of(0)),
      lower: per100(lower),
      upper: per100(upper),
    }),
  };
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
