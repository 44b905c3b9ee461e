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
