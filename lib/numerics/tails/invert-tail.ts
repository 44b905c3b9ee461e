/**
 * The u at which a monotone tail probability equals p.
 *
 * Works on log(tail), so that a probability of 1e-250 is found as surely as one of 0.05. The
 * bracket grows by doubling from [-1, 1]; then false position with the Illinois rule (Dowell and
 * Jarratt 1971, BIT 11:168), bisecting where a tail has underflowed to 0. Tails of a positive
 * variable are best given as functions of u = log(x), those on (0, 1) of u = log(x / (1 - x)).
 *
 * @param tail Monotone on the whole line.
 * @param p Strictly between 0 and 1.
 * @param direction Whether `tail` falls (an upper tail) or rises as u rises.
 * @returns u, infinite where no finite u reaches p.
 */
export function invertTail(
  tail: (u: number) => number,
  p: number,
  direction: "falling" | "rising",
): number {
  const target = Math.log(p);
  const gap = (u: number) => Math.log(tail(u)) - target;
  let low = -1;
  let high = 1;
  let atLow = gap(low);
  let atHigh = gap(high);
  for (let width = 2; atLow * atHigh > 0; width *= 2) {
    const upwards = (atHigh > 0) === (direction === "falling");
    if (width > 3000) return upwards ? Infinity : -Infinity;
    if (upwards) {
      low = high;
      atLow = atHigh;
      high += width;
      atHigh = gap(high);
    } else {
      high = low;
      atHigh = atLow;
      low -= width;
      atLow = gap(low);
    }
  }
  let kept = 0; // which end the last step kept
  for (let iteration = 0; iteration < 200; iteration++) {
    if (atLow === 0) return low;
    if (atHigh === 0) return high;
    const width = high - low;
    if (width <= 4e-16 * Math.max(1, Math.abs(low), Math.abs(high))) break;
    let u = (low * atHigh - high * atLow) / (atHigh - atLow);
    if (!(u > low && u < high) || iteration % 8 === 7) u = low + width / 2;
    const atU = gap(u);
    if (u === low || u === high) break;
    if (atU * atHigh > 0) {
      high = u;
      atHigh = atU;
      if (kept === -1) atLow /= 2;
      kept = -1;
    } else {
      low = u;
      atLow = atU;
      if (kept === 1) atHigh /= 2;
      kept = 1;
    }
  }
  return low + (high - low) / 2;
}
