import { checkNumber, distributions } from "../../numerics/mod.ts";
import { funnelLimits } from "./funnel-limits.ts";

/**
 * Chance that a unit's proportion falls outside the limits of a funnel, given its true proportion:
 * how often a funnel of this size finds such a unit, or raises a false alarm.
 *
 * @example A surgeon with 60 operations who repairs 75% where 90% is the target
 * ```ts
 * import { chanceOutsideFunnel } from "mitral";
 *
 * chanceOutsideFunnel({ target: 0.9, n: 60, truth: 0.75, confidence: 0.95 }); // 0.87
 * ```
 * @param options.target Proportion that the funnel is drawn around.
 * @param options.n Whole number of operations.
 * @param options.truth The unit's true proportion; the target for the chance of a false alarm.
 * @throws {DataError}
 */
export function chanceOutsideFunnel(
  options: { target: number; n: number; truth: number; confidence: number },
): number {
  const { n, target, confidence } = options;
  const truth = checkNumber("truth", options.truth, (p) => p >= 0 && p <= 1, "from 0 to 1");
  const { lower, upper } = funnelLimits({ target, n: [n], confidence });
  const least = Math.ceil(n * lower[0]! - 1e-9);
  const most = Math.floor(n * upper[0]! + 1e-9);
  return distributions.binomialAtMost(least - 1, n, truth) +
    distributions.binomialAtLeast(most + 1, n, truth);
}
