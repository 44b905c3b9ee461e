/**
 * The permutation that sorts a column ascending, stable: `values[order[0]]` is the smallest.
 *
 * Radix sort on the bits of the doubles, 4 passes of 16 bits, skipping digits that are constant;
 * short columns use a comparison sort. NaN is not allowed. Cost O(n).
 */
export function orderOf(values: Float64Array): Uint32Array {
  const n = values.length;
  let order = new Uint32Array(n);
  for (let i = 0; i < n; i++) order[i] = i;
  if (n < 2048) {
    return order.sort((a, b) => values[a]! - values[b]! || a - b);
  }
  if (isAscending(values)) return order;
  // Keys: bits of the double, made to sort as unsigned integers. -0 is sorted as 0.
  const bits = new Uint32Array(2);
  const asDouble = new Float64Array(bits.buffer);
  const low = new Uint32Array(n);
  const high = new Uint32Array(n);
  const counts = new Uint32Array(4 * 65536);
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
    counts[l & 0xffff]!++;
    counts[65536 + (l >>> 16)]!++;
    counts[131072 + (h & 0xffff)]!++;
    counts[196608 + (h >>> 16)]!++;
  }
  let target = new Uint32Array(n);
  for (let pass = 0; pass < 4; pass++) {
    const base = pass * 65536;
    const key = pass < 2 ? low : high;
    const shift = (pass & 1) * 16;
    if (counts[base + ((key[0]! >>> shift) & 0xffff)] === n) continue;
    let sum = 0;
    for (let digit = base; digit < base + 65536; digit++) {
      const count = counts[digit]!;
      counts[digit] = sum;
      sum += count;
    }
    for (let i = 0; i < n; i++) {
      const row = order[i]!;
      target[counts[base + ((key[row]! >>> shift) & 0xffff)]!++] = row;
    }
    [order, target] = [target, order];
  }
  return order;
}

function isAscending(values: Float64Array): boolean {
  for (let i = 1; i < values.length; i++) if (values[i]! < values[i - 1]!) return false;
  return true;
}
