/** Rows that cover the same innermost intervals, first to last, with their total weight. */
export interface Cover {
  first: Int32Array;
  last: Int32Array;
  weight: Float64Array;
}

/** Where a likelihood of interval-censored rows can put mass, and which rows reach which of it. */
export interface Innermost {
  left: Float64Array;
  right: Float64Array;
  cover: Cover;
}

/**
 * Both ends of every row in order: 0..n-1 stand for lower ends, n..2n-1 for upper ends.
 *
 * A row (lower, upper] starts just after its lower end; an exact time [t, t] starts at it. At one
 * value the order is: start of an exact time, upper ends, open lower ends. Cost O(n log n).
 */
export function sortEnds(lower: Float64Array, upper: Float64Array): Uint32Array {
  const n = lower.length;
  const value = (end: number) => end < n ? lower[end]! : upper[end - n]!;
  const place = (end: number) => end >= n ? 0 : lower[end] === upper[end] ? -1 : 1;
  const ends = new Uint32Array(2 * n);
  for (let end = 0; end < 2 * n; end++) ends[end] = end;
  return ends.sort((a, b) => {
    const [x, y] = [value(a), value(b)];
    return x === y ? place(a) - place(b) : x - y; // not the difference of two infinities
  });
}

/**
 * Turnbull's innermost intervals: a lower end directly followed by an upper end, among all ends of
 * the rows with weight above 0.
 *
 * Every row covers a contiguous run of them, at least one; rows with the same run are added up.
 * Cost O(n) and a sort of the distinct runs.
 */
export function innermostIntervals(
  lower: Float64Array,
  upper: Float64Array,
  weight: Float64Array,
  ends: Uint32Array,
): Innermost {
  const n = lower.length;
  const left: number[] = [];
  const right: number[] = [];
  const first = new Int32Array(n);
  const last = new Int32Array(n).fill(-1);
  let open = -1; // the row whose lower end came directly before
  for (const end of ends) {
    const row = end < n ? end : end - n;
    if (weight[row] === 0) continue;
    if (end < n) {
      first[row] = left.length; // the next interval found starts at or after this end
      open = row;
      continue;
    }
    if (open >= 0) {
      left.push(lower[open]!);
      right.push(upper[row]!);
      open = -1;
    }
    last[row] = left.length - 1;
  }
  const cover = sumEqual(first, last, weight, left.length);
  return { left: Float64Array.from(left), right: Float64Array.from(right), cover };
}

/** Adds up the weights of rows with the same run. */
function sumEqual(
  first: Int32Array,
  last: Int32Array,
  weight: Float64Array,
  width: number,
): Cover {
  const total = new Map<number, number>();
  for (let i = 0; i < first.length; i++) {
    if (weight[i] === 0) continue;
    const key = first[i]! * width + last[i]!;
    total.set(key, (total.get(key) ?? 0) + weight[i]!);
  }
  const keys = Float64Array.from(total.keys()).sort();
  return {
    first: Int32Array.from(keys, (key) => Math.floor(key / width)),
    last: Int32Array.from(keys, (key) => key % width),
    weight: Float64Array.from(keys, (key) => total.get(key)!),
  };
}
