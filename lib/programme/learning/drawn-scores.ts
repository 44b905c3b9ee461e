import { dot, factorSymmetric, MANY, SeededRandom, solveFactored } from "../../numerics/mod.ts";
import { scoresOf } from "./efficient-terms.ts";
import type { Noise } from "./noise.ts";
import { sumsOfProducts } from "./sums-of-products.ts";

/**
 * Sums of products of columns with each draw of residuals: for each draw, one a column.
 *
 * Of more than 20,000 rows the sums themselves are drawn, from the normal distribution that those
 * of so many independent residuals have, with the covariance of theirs (Hansen 1996, Econometrica
 * 64:413). Cost: O(draws n p), p columns of n rows; of many, O(n p^2).
 */
export function drawnScores(
  columns: readonly Float64Array[],
  noise: Noise,
  { draws, seed }: { draws: number; seed: number },
): Float64Array[] {
  const random = new SeededRandom(seed);
  const draw = noise.residuals.length > MANY
    ? normalScores(sumsOfProducts(columns, noise.drawnVariance), columns.length)
    : (random: SeededRandom) => scoresOf(columns, noise.draw(random));
  return Array.from({ length: draws }, () => draw(random));
}

/** Draws from a normal distribution about 0 with a covariance, which may be singular. */
function normalScores(
  covariance: Float64Array,
  p: number,
): (random: SeededRandom) => Float64Array {
  const factor = factorSymmetric(covariance, p);
  const { lower, dropped } = factor;
  // a column that others make up follows them
  const following = dropped.map((j) => ({
    j,
    shares: solveFactored(factor, covariance.subarray(j * p, j * p + p)),
  }));
  return (random) => {
    const z = Float64Array.from({ length: p }, () => random.normal());
    const scores = z.map((_, j) => dot(lower.subarray(j * p, j * p + j + 1), z));
    for (const { j, shares } of following) scores[j] = dot(shares, scores);
    return scores;
  };
}
