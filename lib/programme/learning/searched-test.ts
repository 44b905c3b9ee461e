import type { LearningColumns } from "./learning-data.ts";
import { drawnScores } from "./drawn-scores.ts";
import { efficientTerms, scoresOf } from "./efficient-terms.ts";
import { noiseAbout } from "./noise.ts";
import type { LearningProfile } from "./profile.ts";

/**
 * That nothing is learnt, allowing for the best of many numbers of cases having been looked for.
 *
 * The statistic is the highest score statistic of a learning term; its distribution is that of
 * outcomes drawn anew as if nothing were learnt, each surgeon at the same level and patients as
 * they were.
 *
 * @see Davies (1987) Biometrika 74:33-43 for the problem; Hansen (1996) Econometrica 64:413-430 for
 * drawing the distribution of the highest score.
 */
export function searchedTest(
  { points, none }: LearningProfile,
  columns: LearningColumns,
  chance: { draws: number; seed: number },
): { statistic: number; pValue: number } {
  const noise = noiseAbout(none, columns);
  const cases = points.map((one) => one.cases);
  const terms = efficientTerms(columns, cases, noise.variance);
  const highest = (scores: Float64Array) =>
    scores.reduce((most, score, k) => {
      const variance = noise.scale * terms.gram[k * scores.length + k]!;
      return variance > 0 ? Math.max(most, score * score / variance) : most;
    }, 0);
  const statistic = highest(scoresOf(terms.columns, noise.residuals));
  const drawn = drawnScores(terms.forDrawn, noise, chance);
  const beyond = drawn.reduce((sum, scores) => sum + Number(highest(scores) >= statistic), 0);
  return { statistic, pValue: (1 + beyond) / (1 + drawn.length) };
}
