import type { Numbers } from "../../numerics/mod.ts";

/** The columns of a survival estimate that are drawn. */
export interface SurvivalColumns {
  /** Times, in one unit. */
  time: Numbers;
  /** Probability of being alive at each time, 0 to 1. */
  survival: Numbers;
  /** Lower limits. */
  lower?: Numbers;
  /** Upper limits. */
  upper?: Numbers;
  /** Still under observation just before each time. */
  atRisk: Numbers;
  /**
   * Of a weighted estimate: how many patients of equal weight would tell as much as those at risk.
   * Printed in place of `atRisk`, whose sums of weights may be more than there are patients.
   */
  effectiveAtRisk?: Numbers;
}

/** The numbers at risk that are printed, and by which a curve is drawn thin. */
export function shownAtRisk(
  { atRisk, effectiveAtRisk }: Pick<SurvivalColumns, "atRisk" | "effectiveAtRisk">,
): { atRisk: Numbers; effective: boolean } {
  return { atRisk: effectiveAtRisk ?? atRisk, effective: effectiveAtRisk !== undefined };
}

/**
 * Numbers at risk of another endpoint of the same patients that are published too. Where a count of
 * this one differs from them by less than the smallest cell, it is printed as a bound: the
 * difference would tell how few were never at risk of this one.
 */
export interface AtRiskColumns {
  /** Times, in one unit. */
  time: Numbers;
  /** Still under observation just before each time. */
  atRisk: Numbers;
}

/** A difference of two curves over time, first group minus second. */
export interface DifferenceColumns {
  /** Times, in one unit. */
  time: Numbers;
  /** The estimates. */
  estimate: Numbers;
  /** Lower limits. */
  lower?: Numbers;
  /** Upper limits. */
  upper?: Numbers;
}
