import { bracketedRoot } from "../tails/mod.ts";

/** An estimate with its limits, which need not be symmetric. */
interface Limited {
  estimate: number;
  lower: number;
  upper: number;
}

/**
 * Limits of `to` minus `from` out of the limits of both: the distances from each estimate to the
 * limit that pulls the same way, squared and added.
 *
 * It inherits what the limits know: an arm without an event brings the reach of its upper limit,
 * where a normal error would bring 0. For independent estimates the correlation is 0.
 *
 * @see Newcombe (1998) Stat Med 17:873-890, method 10; Zou & Donner (2008) Stat Med 27:1693-1702;
 * correlated: Newcombe (1998) Stat Med 17:2635-2650.
 */
export function squareAndAdd(
  from: Limited,
  to: Limited,
  correlation = 0,
): { lower: number; upper: number } {
  const reach = (a: number, b: number) =>
    Math.sqrt(Math.max(0, a * a - 2 * correlation * a * b + b * b));
  const difference = to.estimate - from.estimate;
  return {
    lower: difference - reach(to.estimate - to.lower, from.upper - from.estimate),
    upper: difference + reach(to.upper - to.estimate, from.estimate - from.lower),
  };
}

/**
 * The p value that goes with a family of limits: one less the level at which 0 lies on a limit.
 *
 * @param limits The limits at a level of confidence; they must widen as it rises.
 */
export function pValueOfLimits(
  estimate: number,
  limits: (confidence: number) => { lower: number; upper: number },
): number {
  if (Number.isNaN(estimate)) return NaN;
  if (estimate === 0) return 1;
  // of the limit on the side of 0, above 0 where it excludes 0
  const clearOfNone = (logP: number) => {
    const { lower, upper } = limits(-Math.expm1(logP));
    return estimate > 0 ? lower : -upper;
  };
  let low = Math.log(1e-12);
  let atLow = clearOfNone(low);
  if (atLow > 0) return 1e-12;
  let high = 0;
  let atHigh = NaN;
  for (let step = 0; step < 40 && !(atLow <= 0 && atHigh > 0); step++) {
    const middle = (low + high) / 2;
    const at = clearOfNone(middle);
    if (at > 0) [high, atHigh] = [middle, at];
    else [low, atLow] = [middle, at];
  }
  if (!(atLow <= 0 && atHigh > 0)) return Math.exp(high);
  return Math.exp(bracketedRoot(clearOfNone, { low, high, atLow, atHigh }, {
    near: () => 1e-11,
  }));
}
