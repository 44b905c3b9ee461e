/**
 * Sample quantile by linear interpolation between order statistics: position (n - 1) p from the
 * smallest, type 7 of Hyndman and Fan (1996, Am Stat 50:361).
 *
 * @param sorted Ascending, at least one value.
 * @param p In [0, 1].
 */
export function quantileOfSorted(sorted: ArrayLike<number>, p: number): number {
  const position = (sorted.length - 1) * p;
  // a position that is whole but for rounding is whole
  const nearest = Math.round(position);
  if (Math.abs(position - nearest) < 4e-15 * Math.max(1, nearest)) return sorted[nearest]!;
  const below = Math.floor(position);
  const low = sorted[below]!;
  return low + (position - below) * (sorted[below + 1]! - low);
}

/**
 * Quantiles of weighted values. Sorted value k stands at
 * (W_k - w_k / 2 - w_1 / 2) / (W - w_1 / 2 - w_n / 2), W_k the weight up to and with it; linear in
 * between. With equal weights this is {@link quantileOfSorted}. Weights of 0 leave values out.
 *
 * @param sorted Ascending.
 * @param weight One a value, at least one above 0.
 */
export function weightedQuantiles(
  sorted: ArrayLike<number>,
  weight: ArrayLike<number>,
  ps: readonly number[],
): number[] {
  const values: number[] = [];
  const weights: number[] = [];
  let total = 0;
  for (let i = 0; i < sorted.length; i++) {
    if (weight[i]! > 0) {
      values.push(sorted[i]!);
      weights.push(weight[i]!);
      total += weight[i]!;
    }
  }
  const first = weights[0]! / 2;
  const span = total - first - weights.at(-1)! / 2;
  return ps.map((p) => {
    let before = NaN;
    let sum = 0;
    for (let k = 0; k < values.length; k++) {
      sum += weights[k]!;
      const place = span > 0 ? (sum - weights[k]! / 2 - first) / span : 1;
      if (place >= p - 1e-14) {
        if (k === 0 || place <= p) return values[k]!;
        return values[k - 1]! + (p - before) / (place - before) * (values[k]! - values[k - 1]!);
      }
      before = place;
    }
    return values.at(-1)!;
  });
}
