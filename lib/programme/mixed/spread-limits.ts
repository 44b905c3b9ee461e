import { distributions } from "../../numerics/mod.ts";
import { climbMixed, type MixedClimb } from "./climb.ts";
import type { NormalQuadrature } from "./gauss-hermite.ts";
import type { MixedRows } from "./posterior.ts";

/**
 * Limits of the units' spread: where the profile likelihood has fallen by half the chi-square
 * quantile; 0 below where it has not fallen as far at 0.
 */
export function spreadLimits(
  rows: MixedRows,
  best: MixedClimb,
  spread: number,
  quadrature: NormalQuadrature,
  confidence: number,
): { lower: number; upper: number } {
  const allowed = distributions.chiSquareUpperQuantile(1 - confidence, 1) / 2;
  let from = best.parameters;
  const within = (value: number) => {
    const start = from.slice();
    start[start.length - 1] = value;
    const there = climbMixed(rows, start, quadrature, { fixSpread: true });
    from = there.parameters;
    return best.logLikelihood - there.logLikelihood <= allowed;
  };
  /** Between a value within the limits and one outside. */
  const edge = (inside: number, outside: number) => {
    while (Math.abs(outside - inside) > 1e-5 * Math.max(inside, outside)) {
      const middle = (inside + outside) / 2;
      if (within(middle)) inside = middle;
      else outside = middle;
    }
    return (inside + outside) / 2;
  };
  const lower = spread === 0 || within(0) ? 0 : edge(spread, 0);
  let inside = Math.max(spread, 0.1);
  if (!within(inside)) return { lower, upper: edge(spread, inside) };
  from = best.parameters;
  let outside = 2 * inside;
  while (within(outside) && outside < 100) {
    inside = outside;
    outside *= 2;
  }
  return { lower, upper: outside >= 100 ? Infinity : edge(inside, outside) };
}
