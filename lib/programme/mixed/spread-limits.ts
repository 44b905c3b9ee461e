import { distributions, factorSymmetric } from "../../numerics/mod.ts";
import { climbMixed, type MixedClimb } from "./climb.ts";
import type { NormalQuadrature } from "./gauss-hermite.ts";
import type { MixedRows } from "./posterior.ts";

/**
 * The units' spread and its limits, from a profile of the likelihood: limits are where it has
 * fallen by half the chi-square quantile; 0 below where it has not fallen as far at 0.
 *
 * @param options.adjusted Whether the profile allows for the other terms having been fitted to the
 * same few units (Cox and Reid 1987, JRSS B 49:1), as restricted likelihood does in linear models.
 * Without it, limits of few units lie too low.
 */
export function spreadLimits(
  rows: MixedRows,
  best: MixedClimb,
  spread: number,
  quadrature: NormalQuadrature,
  options: { confidence: number; adjusted: boolean },
): { estimate: number; lower: number; upper: number } {
  const { adjusted } = options;
  const allowed = distributions.chiSquareUpperQuantile(1 - options.confidence, 1) / 2;
  const terms = best.parameters.length - 1;
  let from = best.parameters;
  const profileAt = (value: number) => {
    const start = from.slice();
    start[terms] = value;
    const there = climbMixed(rows, start, quadrature, { fixSpread: true });
    from = there.parameters;
    return there.logLikelihood + (adjusted ? halfLogDeterminant(there.inverse, terms) : 0);
  };
  const estimate = adjusted ? likeliest(profileAt, 2 * spread + 0.5) : spread;
  const top = adjusted ? profileAt(estimate) : best.logLikelihood;
  const within = (value: number) => top - profileAt(value) <= allowed;
  /** Between a value within the limits and one outside. */
  const edge = (inside: number, outside: number) => {
    while (Math.abs(outside - inside) > 1e-5 * Math.max(inside, outside)) {
      const middle = (inside + outside) / 2;
      if (within(middle)) inside = middle;
      else outside = middle;
    }
    return (inside + outside) / 2;
  };
  const lower = estimate === 0 || within(0) ? 0 : edge(estimate, 0);
  let inside = Math.max(estimate, 0.1);
  if (!within(inside)) return { estimate, lower, upper: edge(estimate, inside) };
  from = best.parameters;
  let outside = 2 * inside;
  while (within(outside) && outside < 100) {
    inside = outside;
    outside *= 2;
  }
  return { estimate, lower, upper: outside >= 100 ? Infinity : edge(inside, outside) };
}

/** Place of the highest value between 0 and `most`, which has one peak, by the golden section. */
function likeliest(profileAt: (value: number) => number, most: number): number {
  const share = (Math.sqrt(5) - 1) / 2;
  let [low, high] = [0, most];
  let left = { at: high - share * high, value: profileAt(high - share * high) };
  let right = { at: share * high, value: profileAt(share * high) };
  while (high - low > 1e-4 * most) {
    if (left.value >= right.value) {
      high = right.at;
      right = left;
      const at = high - share * (high - low);
      left = { at, value: profileAt(at) };
    } else {
      low = left.at;
      left = right;
      const at = low + share * (high - low);
      right = { at, value: profileAt(at) };
    }
  }
  return low === 0 ? 0 : (low + high) / 2;
}

/** Half the log determinant of a positive definite matrix. */
function halfLogDeterminant(matrix: Float64Array, p: number): number {
  const { lower } = factorSymmetric(matrix, p, 1e-13);
  let sum = 0;
  for (let j = 0; j < p; j++) sum += Math.log(lower[j * p + j]!);
  return sum;
}
