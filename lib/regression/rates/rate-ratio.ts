import {
  checkConfidence,
  checkNumber,
  DataError,
  directionOf,
  distributions,
} from "../../numerics/mod.ts";
import { proportionInterval } from "./proportion-interval.ts";

/** A count of events and the time at risk in which they came. */
export interface RateCount {
  /** Events counted. */
  events: number;
  /** Time at risk, in one unit. */
  exposure: number;
}

/** A ratio of two rates with its limits. */
export interface RateRatio {
  /** "a / b", or "b / a" where the reference is a. */
  direction: string;
  /** Along the direction. */
  estimate: number;
  /** Lower limit. */
  lower: number;
  /** Upper limit. */
  upper: number;
  /** Of a ratio of 1. */
  pValue: number;
}

/**
 * The rate of `a` over the rate of `b` (of `b` over `a` where `reference` is "a"), exact given the
 * events of both together.
 *
 * Of n events those of `a` are binomial with p = r t_a / (r t_a + t_b), r the ratio and t the
 * exposures: Clopper and Pearson's limits of p, turned into limits of r. The p value, of a ratio of
 * 1, is twice the smaller binomial tail, and agrees with the limits. Without any event the ratio is
 * NaN, the limits 0 and Infinity, p 1. Fair only where both hazards are roughly constant.
 *
 * @example
 * ```ts
 * import { rateRatio } from "mitral";
 * rateRatio({ events: 9, exposure: 812.4 }, { events: 21, exposure: 1050.2 }); // 0.55 (0.22 to 1.26)
 * ```
 * @throws {DataError} for a count that is not whole or an exposure not above 0.
 * @see Przyborowski & Wilenski (1940) Biometrika 31:313-323.
 */
export function rateRatio(
  a: RateCount,
  b: RateCount,
  options: { confidence?: number; reference?: "a" | "b" } = {},
): RateRatio {
  const { over: direction, sign } = directionOf(["b", "a"], options.reference);
  if (sign === -1) return { ...rateRatio(b, a, { confidence: options.confidence }), direction };
  for (const [name, { events, exposure }] of [["a", a], ["b", b]] as const) {
    const whole = Number.isSafeInteger(events) && events >= 0;
    if (!whole) throw new DataError(`${name}.events`, "a whole number >= 0", events);
    checkNumber(`${name}.exposure`, exposure, (v) => v > 0 && v < Infinity, "a finite number > 0");
  }
  const confidence = checkConfidence(options.confidence);
  const n = a.events + b.events;
  if (n === 0) return { direction, estimate: NaN, lower: 0, upper: Infinity, pValue: 1 };
  const { lower, upper } = proportionInterval(a.events, n, { method: "exact", confidence });
  const ratioOf = (p: number) => p / (1 - p) * (b.exposure / a.exposure);
  const share = a.exposure / (a.exposure + b.exposure);
  const tails = [
    distributions.binomialAtMost(a.events, n, share),
    distributions.binomialAtLeast(a.events, n, share),
  ];
  return {
    direction,
    estimate: a.events / a.exposure / (b.events / b.exposure),
    lower: ratioOf(lower),
    upper: ratioOf(upper),
    pValue: Math.min(1, 2 * Math.min(...tails)),
  };
}
