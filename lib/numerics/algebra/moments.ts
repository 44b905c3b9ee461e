/** Mean and variance of a column, or of the rows of it that a group code selects. */
export interface Moments {
  n: number;
  /** Total weight; n where there are no weights. */
  total: number;
  mean: number;
  /**
   * Unbiased for frequency-free weights: W / (W^2 - sum w^2) * sum w (x - mean)^2, which is the
   * sample variance (divisor n - 1) where weights are equal. NaN where fewer than two rows count.
   */
  variance: number;
}

/**
 * Weighted mean and variance in two passes, so that a large mean costs no digits. Weights of 0
 * leave rows out. Cost O(n).
 *
 * @param values The column.
 * @param weight One weight a row, at least 0.
 * @param group Codes, with `code` the rows to use.
 */
export function momentsOf(
  values: Float64Array,
  options: { weight?: Float64Array; group?: ArrayLike<number>; code?: number } = {},
): Moments {
  const { weight, group, code } = options;
  let n = 0;
  let total = 0;
  let squares = 0;
  let sum = 0;
  for (let i = 0; i < values.length; i++) {
    if (group && group[i] !== code) continue;
    const w = weight ? weight[i]! : 1;
    if (w === 0) continue;
    n++;
    total += w;
    squares += w * w;
    sum += w * values[i]!;
  }
  const mean = sum / total;
  let deviations = 0;
  let residue = 0; // what rounding left of the mean
  for (let i = 0; i < values.length; i++) {
    if (group && group[i] !== code) continue;
    const w = weight ? weight[i]! : 1;
    if (w === 0) continue;
    const d = values[i]! - mean;
    deviations += w * d * d;
    residue += w * d;
  }
  deviations -= residue * residue / total;
  return {
    n,
    total,
    mean: mean + residue / total,
    variance: n < 2 ? NaN : Math.max(0, deviations) * total / (total * total - squares),
  };
}

/**
 * {@link momentsOf} of the rows with code 0, then of those with code 1, in the same two passes for
 * both: to the last bit what it gives of each alone.
 */
export function momentsOfGroups(
  values: Float64Array,
  group: Uint8Array,
  weight?: Float64Array,
): [Moments, Moments] {
  const n = [0, 0];
  const total = [0, 0];
  const squares = [0, 0];
  const sum = [0, 0];
  const rows = values.length;
  for (let i = 0; i < rows; i++) {
    const w = weight ? weight[i]! : 1;
    if (w === 0) continue;
    const g = group[i]!;
    n[g]!++;
    total[g]! += w;
    squares[g]! += w * w;
    sum[g]! += w * values[i]!;
  }
  const mean = [sum[0]! / total[0]!, sum[1]! / total[1]!];
  const deviations = [0, 0];
  const residue = [0, 0]; // what rounding left of the mean
  for (let i = 0; i < rows; i++) {
    const w = weight ? weight[i]! : 1;
    if (w === 0) continue;
    const g = group[i]!;
    const d = values[i]! - mean[g]!;
    deviations[g]! += w * d * d;
    residue[g]! += w * d;
  }
  const of = (g: 0 | 1): Moments => {
    const spread = deviations[g]! - residue[g]! * residue[g]! / total[g]!;
    return {
      n: n[g]!,
      total: total[g]!,
      mean: mean[g]! + residue[g]! / total[g]!,
      variance: n[g]! < 2
        ? NaN
        : Math.max(0, spread) * total[g]! / (total[g]! * total[g]! - squares[g]!),
    };
  };
  return [of(0), of(1)];
}
