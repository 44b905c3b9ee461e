import { quantileOfSorted } from "../../numerics/mod.ts";
import type { LearningColumns } from "./learning-data.ts";
import { drawnScores } from "./drawn-scores.ts";
import { efficientTerms } from "./efficient-terms.ts";
import { noiseAbout } from "./noise.ts";
import type { LearningProfile } from "./profile.ts";

/**
 * Limits of the number of cases: those numbers at which the profile is no lower than it would be by
 * chance, were that number the true one.
 *
 * What chance does is drawn for each number: outcomes anew from the likeliest model, and the gain
 * of every other number in them, to second order in the likelihood. Near a bend the likelihood is
 * not smooth and the search ends where the data do, so that a chi-square quantile falls short.
 *
 * @returns A lower limit of 0 or an upper of Infinity where the data do not bound it.
 */
export function plateauLimits(
  { points }: LearningProfile,
  columns: LearningColumns,
  chance: { draws: number; seed: number; confidence: number },
): { estimate: number; lower: number; upper: number } {
  const best = points.reduce((most, one) => one.gain > most.gain ? one : most);
  const noise = noiseAbout(best.fitted, columns);
  const cases = points.map((one) => one.cases);
  const terms = efficientTerms(columns, cases, noise.variance);
  const drawn = drawnScores(terms.forDrawn, noise, chance);
  const K = points.length;
  const drop = points.map(({ gain, effect }, own) => {
    const falls = drawn.map((scores) => {
      let [highest, there] = [0, 0];
      for (let k = 0; k < K; k++) {
        const score = effect * terms.gram[own * K + k]! + scores[k]!;
        const value = score * score / terms.gram[k * K + k]! / noise.scale;
        highest = Math.max(highest, value);
        if (k === own) there = value;
      }
      return highest - there;
    });
    return best.gain - gain - quantileOfSorted(Float64Array.from(falls).sort(), chance.confidence);
  });
  const first = drop.findIndex((excess) => excess <= 0);
  const last = drop.findLastIndex((excess) => excess <= 0);
  /** Between a place within the limits and its neighbour outside. */
  const edge = (k: number, outside: number) => {
    const share = drop[k]! / (drop[k]! - drop[outside]!);
    return cases[k]! * (cases[outside]! / cases[k]!) ** share;
  };
  return {
    estimate: best.cases,
    lower: first === 0 ? 0 : edge(first, first - 1),
    upper: last === K - 1 ? Infinity : edge(last, last + 1),
  };
}
