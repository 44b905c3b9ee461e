import { type SeededRandom, sortedColumn } from "../../numerics/mod.ts";

/** Rows with a known value, by what is predicted for them. */
export interface Donors {
  /** Predictions, ascending. */
  sorted: Float64Array;
  /** The known values in that order. */
  values: Float64Array;
}

export function donorsOf(predicted: Float64Array, values: Float64Array): Donors {
  const { order, sorted } = sortedColumn(predicted);
  return { sorted, values: Float64Array.from(order, (row) => values[row]!) };
}

/**
 * The value of one of the `wanted` donors whose predictions are nearest to a row's, each as likely;
 * NaN where no donor's value suits the row. Cost O(log n + wanted), more where few suit.
 */
export function drawDonor(
  { sorted, values }: Donors,
  prediction: number,
  wanted: number,
  random: SeededRandom,
  suits?: (value: number) => boolean,
): number {
  let above = placeOf(sorted, prediction);
  let below = above - 1;
  const pool: number[] = [];
  while (pool.length < wanted && (below >= 0 || above < sorted.length)) {
    const takeBelow = above >= sorted.length ||
      below >= 0 && prediction - sorted[below]! <= sorted[above]! - prediction;
    const value = values[takeBelow ? below-- : above++]!;
    if (!suits || suits(value)) pool.push(value);
  }
  return pool.length === 0 ? NaN : pool[random.integer(pool.length)]!;
}

/** The first place whose value is not below x. */
function placeOf(sorted: Float64Array, x: number): number {
  let low = 0;
  let high = sorted.length;
  while (low < high) {
    const middle = (low + high) >>> 1;
    if (sorted[middle]! < x) low = middle + 1;
    else high = middle;
  }
  return low;
}
