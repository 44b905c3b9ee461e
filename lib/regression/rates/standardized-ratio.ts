import {
  checkChoice,
  checkConfidence,
  checkNumber,
  checkWhole,
  distributions,
} from "../../numerics/mod.ts";
import { rateInterval } from "./rate-interval.ts";

/**
 * Events observed over events expected, such as the sum of predicted risks, which is
 * taken as known.
 *
 * "exact": Garwood's limits of the Poisson count over `expected`. "byar": his approximation,
 * O (1 - 1/(9 O) - z / (3 sqrt O))^3 below and the same with O + 1 and + z above. Either is 0 below
 * with no event. The p value, of a ratio of 1, is twice the smaller Poisson tail.
 *
 * @example
 * ```ts
 * import { standardizedRatio } from "mitral";
 * standardizedRatio(12, 9.4); // { estimate: 1.28, lower: 0.66, upper: 2.23, ... }
 * ```
 * @param observed Whole number.
 * @param expected Above 0.
 * @throws {DataError}
 * @see Garwood (1936) Biometrika 28:437-442; Breslow & Day (1987) Statistical Methods in Cancer
 * Research II, section 2.3 (Byar).
 */
export function standardizedRatio(
  observed: number,
  expected: number,
  options: { method?: "exact" | "byar"; confidence?: number } = {},
): { estimate: number; lower: number; upper: number; pValue: number } {
  checkWhole("observed", observed, 0);
  checkNumber("expected", expected, (v) => v > 0 && v < Infinity, "a finite number > 0");
  const method = checkChoice("method", options.method ?? "exact", ["exact", "byar"]);
  const confidence = checkConfidence(options.confidence);
  // P(N >= k) of a Poisson count is a lower chi-square tail with 2 k degrees of freedom
  const atLeast = observed === 0 ? 1 : distributions.chiSquareLower(2 * expected, 2 * observed);
  const atMost = distributions.chiSquareUpper(2 * expected, 2 * observed + 2);
  const pValue = Math.min(1, 2 * Math.min(atLeast, atMost));
  if (method === "exact") {
    return { ...rateInterval(observed, expected, { per: 1, confidence }), pValue };
  }
  const z = distributions.normalUpperQuantile((1 - confidence) / 2);
  const limit = (count: number, side: number) =>
    count * (1 - 1 / (9 * count) + side * z / (3 * Math.sqrt(count))) ** 3 / expected;
  return {
    estimate: observed / expected,
    lower: observed === 0 ? 0 : Math.max(0, limit(observed, -1)),
    upper: limit(observed + 1, 1),
    pValue,
  };
}
