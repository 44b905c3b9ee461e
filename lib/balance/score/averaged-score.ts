import type { StudyPropensity } from "./study-propensity.ts";

/**
 * The scores of completed sets as one: the mean over the sets, for what is not made in each, and
 * the scores themselves. One score alone is as it is.
 *
 * Estimates made with the mean score alone are not those of multiple imputation: see `inSets`.
 */
export function averagedScore<Score extends StudyPropensity>(scores: readonly Score[]): Score {
  const [first] = scores as readonly [Score];
  if (scores.length === 1) return first;
  const score = meanOver(scores.map((one) => one.score));
  return {
    ...first,
    score,
    linearPredictor: score.map((e) => Math.log(e / (1 - e))),
    inSets: scores,
    warnings: warningsOf(scores),
  };
}

/** Row by row the mean of columns of one length. */
export function meanOver(columns: readonly Float64Array[]): Float64Array {
  const mean = new Float64Array(columns[0]!.length);
  for (const column of columns) for (let i = 0; i < mean.length; i++) mean[i]! += column[i]!;
  for (let i = 0; i < mean.length; i++) mean[i]! /= columns.length;
  return mean;
}

/** Every warning once; one that is not of all sets says so, and leaves counts of sets out. */
export function warningsOf(sets: readonly { warnings: readonly string[] }[]): string[] {
  const every = new Set(sets.flatMap(({ warnings }) => warnings));
  return Array.from(every, (warning) => {
    const own = sets.filter(({ warnings }) => warnings.includes(warning)).length;
    return own === sets.length ? warning : `In some of the completed sets: ${warning}`;
  });
}
