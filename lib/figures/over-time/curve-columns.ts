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
