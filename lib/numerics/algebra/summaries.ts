import jstat from "jstat";
import * as statistics from "simple-statistics";

// Summaries of a plain sample, each by the package that does it to full precision. Both packages
// take arrays of numbers and only read them by index, so that a typed array does as well. Not from
// these packages: weighted summaries (neither has them), tails of distributions (jstat's normal is
// 0 from -9 on), quantiles by other than type 7, and anything within the loop of an estimator.
const plain = (values: ArrayLike<number>) => values as number[];

const { quantiles } = jstat as unknown as {
  quantiles(values: number[], ps: readonly number[], alpha: number, beta: number): number[];
};

/** Mean; NaN of nothing. Sums with what rounding lost kept aside (Kahan and Babuska). */
export function meanOf(values: ArrayLike<number>): number {
  return values.length === 0 ? NaN : statistics.mean(plain(values));
}

/** Standard deviation with divisor n, as columns are scaled by; NaN of nothing. */
export function spreadOf(values: ArrayLike<number>): number {
  return values.length === 0 ? NaN : statistics.standardDeviation(plain(values));
}

/** Standard deviation with divisor n - 1; NaN of fewer than two. */
export function sampleSpreadOf(values: ArrayLike<number>): number {
  return values.length < 2 ? NaN : statistics.sampleStandardDeviation(plain(values));
}

/** Covariance with divisor n - 1; NaN of fewer than two pairs. */
export function covarianceOf(x: ArrayLike<number>, y: ArrayLike<number>): number {
  return x.length < 2 ? NaN : statistics.sampleCovariance(plain(x), plain(y));
}

/** Correlation of two columns; NaN of fewer than two pairs. */
export function correlationOf(x: ArrayLike<number>, y: ArrayLike<number>): number {
  return x.length < 2 ? NaN : statistics.sampleCorrelation(plain(x), plain(y));
}

/**
 * Least and greatest of a column of any length (`Math.min(...column)` overflows the stack somewhere
 * past 100,000); Infinity and -Infinity of nothing.
 */
export function extentOf(values: ArrayLike<number>): [least: number, greatest: number] {
  return values.length === 0 ? [Infinity, -Infinity] : statistics.extent(plain(values));
}

/** Quartiles of values in any order. */
export interface Quartiles {
  lower: number;
  median: number;
  upper: number;
}

/**
 * Quartiles by linear interpolation between order statistics (type 7 of Hyndman and Fan: the
 * package's plotting positions with both constants 1); NaN of nothing.
 *
 * @see Hyndman RJ, Fan Y (1996) Am Stat 50:361-365.
 */
export function quartilesOf(values: ArrayLike<number>): Quartiles {
  const known = Float64Array.from(values);
  // the package wants two order statistics to go between
  if (known.length < 2) {
    const only = known[0] ?? NaN;
    return { lower: only, median: only, upper: only };
  }
  const [lower, median, upper] = quantiles(plain(known), [0.25, 0.5, 0.75], 1, 1);
  return { lower: lower!, median: median!, upper: upper! };
}
