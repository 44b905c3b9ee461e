/**
 * The permutation that sorts a column ascending, stable: `values[order[0]]` is the smallest.
 *
 * NaN is not allowed. Cost O(n); see {@link sortedColumn}.
 */
export function orderOf(values: Float64Array): Uint32Array {
  return sortedColumn(values).order;
}

/** A column in ascending order and the permutation that put it there. */
export interface SortedColumn {
  order: Uint32Array;
  sorted: Float64Array;
}

const DIGIT = 2048; // 11 bits
const LONGEST_RUN = 32;

/**
 * Sorts a column and keeps the permutation, stable; the column itself is not written to.
 *
 * Two counting passes over 22 bits of (x - smallest) / (largest - smallest) bring values to within
 * a few places of where they belong, moving value and row number together so that memory is read in
 * sequence; insertion then settles each run of equal bits. Where values bunch so that runs are
 * long (one far outlier does it), or are infinite, the bits of the doubles are sorted instead: four
 * passes of 16 bits. Short columns take one counting pass into as many places as there are values,
 * or a comparison sort where they bunch. Cost O(n).
 */
export function sortedColumn(values: Float64Array): SortedColumn {
  const n = values.length;
  if (n < 2048) {
    return shortSort(values) ??
      gather(values, rowNumbers(n).sort((a, b) => values[a]! - values[b]! || a - b));
  }
  let least = values[0]!;
  let most = least;
  let ascending = true;
  for (let i = 1; i < n; i++) {
    const x = values[i]!;
    if (x < values[i - 1]!) ascending = false;
    if (x < least) least = x;
    if (x > most) most = x;
  }
  if (ascending) return { order: rowNumbers(n), sorted: values.slice() };
  const scale = (DIGIT * DIGIT - 1) / (most - least);
  if (!(scale > 0 && scale < Infinity)) return gather(values, orderOfBits(values));
  return scaledSort(values, least, scale) ?? gather(values, orderOfBits(values));
}

/** The sort by scaled value, or undefined where a run of equal bits is long and out of order. */
function scaledSort(
  values: Float64Array,
  least: number,
  scale: number,
): SortedColumn | undefined {
  const n = values.length;
  const low = new Uint32Array(DIGIT);
  const high = new Uint32Array(DIGIT);
  for (let i = 0; i < n; i++) {
    const key = ((values[i]! - least) * scale) | 0;
    low[key & (DIGIT - 1)]!++;
    high[key >>> 11]!++;
  }
  accumulate(low);
  accumulate(high);
  const halfway = new Float64Array(n);
  const halfwayOrder = new Uint32Array(n);
  for (let i = 0; i < n; i++) {
    const x = values[i]!;
    const key = ((x - least) * scale) | 0;
    const place = low[key & (DIGIT - 1)]!++;
    halfway[place] = x;
    halfwayOrder[place] = i;
  }
  const sorted = new Float64Array(n);
  const order = new Uint32Array(n);
  for (let i = 0; i < n; i++) {
    const x = halfway[i]!;
    const key = ((x - least) * scale) | 0;
    const place = high[key >>> 11]!++;
    sorted[place] = x;
    order[place] = halfwayOrder[i]!;
  }
  return settleRuns(order, sorted);
}

/** The sort of a short column, or undefined where its values bunch. */
function shortSort(values: Float64Array): SortedColumn | undefined {
  const n = values.length;
  let least = values[0] ?? 0;
  let most = least;
  for (let i = 1; i < n; i++) {
    const x = values[i]!;
    if (x < least) least = x;
    if (x > most) most = x;
  }
  const scale = (n - 1) / (most - least);
  if (!(scale > 0 && scale < Infinity)) return undefined;
  const places = new Uint32Array(n);
  for (let i = 0; i < n; i++) places[((values[i]! - least) * scale) | 0]!++;
  accumulate(places);
  const sorted = new Float64Array(n);
  const order = new Uint32Array(n);
  for (let i = 0; i < n; i++) {
    const x = values[i]!;
    const place = places[((x - least) * scale) | 0]!++;
    sorted[place] = x;
    order[place] = i;
  }
  return settleRuns(order, sorted);
}

/** Insertion: only values with equal keys can be out of order. Undefined where a run is long. */
function settleRuns(order: Uint32Array, sorted: Float64Array): SortedColumn | undefined {
  for (let i = 1; i < sorted.length; i++) {
    const x = sorted[i]!;
    if (x >= sorted[i - 1]!) continue;
    const row = order[i]!;
    let j = i;
    for (; j > 0 && sorted[j - 1]! > x; j--) {
      sorted[j] = sorted[j - 1]!;
      order[j] = order[j - 1]!;
    }
    if (i - j > LONGEST_RUN) return undefined;
    sorted[j] = x;
    order[j] = row;
  }
  return { order, sorted };
}

/** Counts to starting places. */
function accumulate(counts: Uint32Array): void {
  let sum = 0;
  for (let digit = 0; digit < counts.length; digit++) {
    const count = counts[digit]!;
    counts[digit] = sum;
    sum += count;
  }
}

function rowNumbers(n: number): Uint32Array {
  const rows = new Uint32Array(n);
  for (let i = 0; i < n; i++) rows[i] = i;
  return rows;
}

function gather(values: Float64Array, order: Uint32Array): SortedColumn {
  const sorted = new Float64Array(order.length);
  for (let i = 0; i < order.length; i++) sorted[i] = values[order[i]!]!;
  return { order, sorted };
}

/** The sort by the bits of the doubles, made to sort as unsigned integers; -0 is sorted as 0. */
function orderOfBits(values: Float64Array): Uint32Array {
  const n = values.length;
  const bits = new Uint32Array(2);
  const asDouble = new Float64Array(bits.buffer);
  const low = new Uint32Array(n);
  const high = new Uint32Array(n);
  const counts = Array.from({ length: 4 }, () => new Uint32Array(65536));
  for (let i = 0; i < n; i++) {
    asDouble[0] = values[i]! + 0;
    let l = bits[0]!;
    let h = bits[1]!;
    if (h >>> 31) {
      l = ~l >>> 0;
      h = ~h >>> 0;
    } else {
      h = (h | 0x80000000) >>> 0;
    }
    low[i] = l;
    high[i] = h;
    counts[0]![l & 0xffff]!++;
    counts[1]![l >>> 16]!++;
    counts[2]![h & 0xffff]!++;
    counts[3]![h >>> 16]!++;
  }
  let order: Uint32Array = rowNumbers(n);
  let target: Uint32Array = new Uint32Array(n);
  for (let pass = 0; pass < 4; pass++) {
    const places = counts[pass]!;
    const key = pass < 2 ? low : high;
    const shift = (pass & 1) * 16;
    if (places[(key[0]! >>> shift) & 0xffff] === n) continue;
    accumulate(places);
    for (let i = 0; i < n; i++) {
      const row = order[i]!;
      target[places[(key[row]! >>> shift) & 0xffff]!++] = row;
    }
    [order, target] = [target, order];
  }
  return order;
}
