import {
  checkConfidence,
  checkNumber,
  distributions,
  numberColumn,
  type Numbers,
} from "../../numerics/mod.ts";

/**
 * Limits of a funnel: the proportions within which chance alone keeps most of those whose true
 * proportion is the target, for each number of operations.
 *
 * Exact binomial limits, interpolated between whole counts so that they fall smoothly: with r the
 * smallest count with P(X <= r) >= p, (r - a) / n with a = (P(X <= r) - p) / P(X = r), kept within
 * 0 to 1. They bound about, not at most, one minus `confidence` of such proportions. Cost: O(log n)
 * a limit.
 *
 * @example
 * ```ts
 * import { funnelLimits } from "mitral";
 *
 * const { lower } = funnelLimits({ target: 0.9, n: [25, 100], confidence: 0.95 }); // 0.746, 0.832
 * ```
 * @param options.target Proportion, strictly between 0 and 1.
 * @param options.n Whole numbers of operations, at least 1.
 * @param options.confidence Such as 0.95 or 0.998.
 * @throws {DataError}
 * @see Spiegelhalter (2005) Stat Med 24:1185-1202, appendix A.1.1.
 */
export function funnelLimits(
  options: { target: number; n: Numbers; confidence: number },
): { lower: Float64Array; upper: Float64Array } {
  const between = (p: number) => p > 0 && p < 1;
  const target = checkNumber("target", options.target, between, "strictly between 0 and 1");
  const n = numberColumn("n", options.n, { min: 1, integer: true });
  const tail = (1 - checkConfidence(options.confidence)) / 2;
  return {
    lower: n.map((size) => interpolatedLimit(size, target, tail)),
    upper: n.map((size) => interpolatedLimit(size, target, 1 - tail)),
  };
}

function interpolatedLimit(n: number, target: number, p: number): number {
  let below = -1; // P(X <= below) < p
  let count = n; // P(X <= count) >= p
  while (count - below > 1) {
    const middle = Math.floor((below + count) / 2);
    if (distributions.binomialAtMost(middle, n, target) >= p) count = middle;
    else below = middle;
  }
  const atMost = distributions.binomialAtMost(count, n, target);
  const fewer = distributions.binomialAtMost(count - 1, n, target);
  const limit = (count - (atMost - p) / (atMost - fewer)) / n;
  return Math.min(1, Math.max(0, limit));
}
