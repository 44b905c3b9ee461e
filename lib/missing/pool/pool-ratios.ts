import { checkConfidence, distributions, quartilesOf } from "../../numerics/mod.ts";
import { poolIntervals, type PoolOptions } from "./pool-contrasts.ts";

/** A ratio with limits, normal on the scale of its logarithm. */
export interface Ratio {
  hazardRatio: number;
  lower: number;
  upper: number;
  pValue: number;
}

/**
 * Pools a hazard ratio over completed sets by Rubin's rules, on the scale of its logarithm; the
 * error of each set is read off its limits. All else is as in the first set.
 *
 * @param options.confidence The level of the limits given, and of those that come back.
 * @throws {DataError} with fewer than two sets.
 */
export function poolRatio<R extends Ratio>(sets: readonly R[], options: PoolOptions = {}): R {
  const z = distributions.normalUpperQuantile((1 - checkConfidence(options.confidence)) / 2);
  const intervals = sets.map(({ hazardRatio, lower, upper }) => ({
    estimate: hazardRatio,
    standardError: Math.log(upper / lower) / (2 * z),
    lower,
    upper,
  }));
  const { estimate, lower, upper, pValue } = poolIntervals(intervals, { ...options, scale: "log" });
  return { ...sets[0]!, hazardRatio: estimate, lower, upper, pValue };
}

/**
 * The median of a test's p values over completed sets, which stands for all where the statistic has
 * no estimate and error to be pooled.
 *
 * @see Eekhout, van de Wiel & Heymans (2017) BMC Med Res Methodol 17:129.
 */
export function medianP(values: readonly number[]): number {
  const known = values.filter(Number.isFinite);
  return known.length === 0 ? NaN : quartilesOf(known).median;
}
