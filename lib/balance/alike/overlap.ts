import {
  binaryColumn,
  checkDataColumns,
  type Interval,
  numberColumn,
  type Numbers,
} from "../../numerics/mod.ts";
import { rocCurve } from "../../regression/prediction/mod.ts";

/** How far two groups' propensity scores overlap. */
export interface Overlap {
  /**
   * c-statistic of the score. Not a goal: the higher, the less the groups overlap; 0.5 would be a
   * randomised trial.
   */
  cStatistic: Interval;
  /** Scores that both groups have: the larger of the minima to the smaller of the maxima. */
  common: { lower: number; upper: number };
  /** Rows whose score is outside it. */
  outside: { treated: number; controls: number };
  /** Rows with a score below 0.05 or above 0.95, who hardly had a choice. */
  extreme: { treated: number; controls: number };
}

/**
 * Overlap (positivity) of a propensity score. Cost O(n log n).
 *
 * @throws {DataError}
 * @see Crump et al. (2009) Biometrika 96:187-199 on dropping rows without overlap.
 */
export function overlapOf(data: { treated: Numbers; score: Numbers }): Overlap {
  checkDataColumns("overlapOf", data, ["treated", "score"]);
  const treated = binaryColumn("treated", data.treated);
  const score = numberColumn("score", data.score, { length: treated.length, min: 0, max: 1 });
  const cStatistic = rocCurve({ outcome: treated, score }).area;
  const range = (code: number) => {
    let lower = Infinity;
    let upper = -Infinity;
    score.forEach((e, i) => {
      if (treated[i] !== code) return;
      lower = Math.min(lower, e);
      upper = Math.max(upper, e);
    });
    return { lower, upper };
  };
  const [zero, one] = [range(0), range(1)];
  const common = {
    lower: Math.max(zero.lower, one.lower),
    upper: Math.min(zero.upper, one.upper),
  };
  const outside = { treated: 0, controls: 0 };
  const extreme = { treated: 0, controls: 0 };
  score.forEach((e, i) => {
    const group = treated[i] === 1 ? "treated" : "controls";
    if (e < common.lower || e > common.upper) outside[group]++;
    if (e < 0.05 || e > 0.95) extreme[group]++;
  });
  return { cStatistic, common, outside, extreme };
}
