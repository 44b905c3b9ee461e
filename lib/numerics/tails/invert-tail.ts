import { bracketedRoot } from "./bracketed-root.ts";

/**
 * The u at which a monotone tail probability equals p.
 *
 * Works on log(tail), so that a probability of 1e-250 is found as surely as one of 0.05. The
 * bracket grows by doubling from [-1, 1], or from where the root is thought to be; then false
 * position, bisecting where a tail has underflowed to 0. Tails of a positive
 * variable are best given as functions of u = log(x), those on (0, 1) of u = log(x / (1 - x)).
 *
 * @param tail Monotone on the whole line.
 * @param p Strictly between 0 and 1.
 * @param direction Whether `tail` falls (an upper tail) or rises as u rises.
 * @param near Where u is about; saves two of three evaluations.
 * @returns u, infinite where no finite u reaches p.
 */
export function invertTail(
  tail: (u: number) => number,
  p: number,
  direction: "falling" | "rising",
  near?: number,
): number {
  const target = Math.log(p);
  const gap = (u: number) => Math.log(tail(u)) - target;
  const known = near !== undefined && Number.isFinite(near);
  let low = known ? near : -1;
  let atLow = gap(low);
  if (atLow === 0) return low;
  // the first step from a near value goes to the root's side, by more than it is likely to be off
  const first = known ? 0.01 : 2;
  const above = !known || (atLow > 0) === (direction === "falling");
  let high = low;
  let atHigh = atLow;
  if (above) {
    high = low + first;
    atHigh = gap(high);
  } else {
    low = high - first;
    atLow = gap(low);
  }
  for (let width = first; atLow * atHigh > 0; width *= known ? 4 : 2) {
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
  return bracketedRoot(gap, { low, high, atLow, atHigh }, { enough: 2e-15 });
}
