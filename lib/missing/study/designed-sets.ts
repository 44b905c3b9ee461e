import {
  type DesignedFollowUp,
  type MatchedSample,
  matchedSample,
  underMatching,
  underWeights,
  type WeightedSample,
  weightedSample,
} from "../../balance/samples/mod.ts";
import type { StudyPropensity } from "../../balance/score/mod.ts";
import type { Analysis } from "../../cohort/model/mod.ts";
import type { EndpointFollowUp } from "../../cohort/follow-up/mod.ts";
import {
  type CumulativeIncidence,
  cumulativeIncidenceByGroup,
  type IncidenceOptions,
} from "../../competing/incidence/mod.ts";
import type { Study } from "../../study/file/mod.ts";
import {
  type KaplanMeier,
  kaplanMeierByGroup,
  type KaplanMeierOptions,
} from "../../survival/curve/mod.ts";
import {
  type Contrast,
  poolContrasts,
  type PooledContrast,
  poolIncidence,
  type PoolOptions,
  poolSurvival,
} from "../pool/mod.ts";
import { type CompletedSets, completedSets } from "./completed-sets.ts";

/** A study's design made within each completed set: a score, and weights or pairs, of its own. */
export interface DesignedSets<Sample> {
  /** One a set. */
  samples: Sample[];
  /**
   * One sample for what is not pooled, such as balance and secondary results. Of weights: their mean
   * over the sets, which gives the pooled estimates to first order. Of pairs: those of the mean score.
   * Its limits leave out what imputing adds.
   */
  average: Sample;
  /** Follow-up of an endpoint under the design, one a set: for {@link pooledContrasts}. */
  under(followUp: EndpointFollowUp): DesignedFollowUp[];
}

/**
 * The study's weighting made anew in each completed set; see `weightedSample`.
 *
 * @example
 * ```ts ignore
 * import { completedSets, followUpOf, openAnalysis, pooledContrasts, survivalDifference, weightedSets } from "mitral";
 * const { analysis, study } = await openAnalysis();
 * const death = followUpOf(analysis, "death");
 * const weighting = weightedSets(await completedSets(analysis, study), study);
 * pooledContrasts(weighting.under(death), (data) => survivalDifference(data, { times: [1, 5] }));
 * ```
 * @throws {DataError}
 */
export function weightedSets(
  completed: CompletedSets,
  study: Study,
  options: Pick<NonNullable<Parameters<typeof weightedSample>[2]>, "estimand"> = {},
): DesignedSets<WeightedSample> {
  const samples = Array.from(
    { length: completed.sets },
    (_, k) => weightedSample(completed.analysis(k), study, options),
  );
  return {
    samples,
    average: averageWeights(samples, completed, study, options),
    under: (followUp) => samples.map(({ weight }) => underWeights(followUp, weight)),
  };
}

/** The study's matching made anew in each completed set; see `matchedSample`. @throws {DataError} */
export function matchedSets(completed: CompletedSets, study: Study): DesignedSets<MatchedSample> {
  const samples = Array.from(
    { length: completed.sets },
    (_, k) => matchedSample(completed.analysis(k), study),
  );
  const propensity = averageScore(samples.map((sample) => sample.propensity));
  return {
    samples,
    average: samples.length === 1
      ? samples[0]!
      : matchedSample(completed.analysis(0), study, { propensity }),
    under: (followUp) => samples.map((sample) => underMatching(followUp, sample)),
  };
}

/** Both designs of a study, missing values treated as planned. */
export interface StudyDesigns {
  /** The sets that it rests on. */
  completed: CompletedSets;
  /** Weights made in each set. */
  weighting: DesignedSets<WeightedSample>;
  /** Pairs made in each set. */
  matching: DesignedSets<MatchedSample>;
}

/**
 * The study's weighting and matching with missing covariates treated as the plan says: the start of
 * every comparison.
 *
 * @example
 * ```ts ignore
 * import { followUpOf, openAnalysis, pooledContrasts, studyDesigns, survivalDifference } from "mitral";
 * const { analysis, study } = await openAnalysis();
 * const death = followUpOf(analysis, "death");
 * const { weighting } = await studyDesigns(analysis, study);
 * const alive = pooledContrasts(weighting.under(death), (data) =>
 *   survivalDifference(data, { times: [5] }));
 * ```
 * @throws {DataError} as `completedSets` and the designs do.
 */
export async function studyDesigns(
  analysis: Analysis,
  study: Study,
  options: Parameters<typeof completedSets>[2] = {},
): Promise<StudyDesigns> {
  const completed = await completedSets(analysis, study, options);
  return {
    completed,
    weighting: weightedSets(completed, study),
    matching: matchedSets(completed, study),
  };
}

function averageWeights(
  samples: WeightedSample[],
  completed: CompletedSets,
  study: Study,
  options: { estimand?: WeightedSample["estimand"] },
): WeightedSample {
  if (samples.length === 1) return samples[0]!;
  const propensity = averageScore(samples.map((sample) => sample.propensity));
  const sample = weightedSample(completed.analysis(0), study, { ...options, propensity });
  const weight = sample.weight.map((_, i) =>
    samples.reduce((sum, one) => sum + one.weight[i]!, 0) / samples.length
  );
  return { ...sample, weight };
}

/** The first set's score with the mean over the sets in its place, and what is to be said of any. */
function averageScore(scores: StudyPropensity[]): StudyPropensity {
  const [first] = scores as [StudyPropensity];
  const score = first.score.map((_, i) =>
    scores.reduce((sum, one) => sum + one.score[i]!, 0) / scores.length
  );
  return {
    ...first,
    score,
    linearPredictor: score.map((e) => Math.log(e / (1 - e))),
    warnings: warningsOf(scores),
  };
}

/** Every warning once; one that is not of all sets says of how many. */
function warningsOf(scores: StudyPropensity[]): string[] {
  const every = new Set(scores.flatMap(({ warnings }) => warnings));
  return Array.from(every, (warning) => {
    const sets = scores.filter(({ warnings }) => warnings.includes(warning)).length;
    return sets === scores.length
      ? warning
      : `In ${sets} of ${scores.length} completed sets: ${warning}`;
  });
}

/**
 * An estimate made in each completed set and pooled; of one set alone, as it is.
 *
 * @throws {DataError} as the estimate does.
 */
export function pooledContrasts<C extends Contrast>(
  sets: readonly DesignedFollowUp[],
  estimate: (data: DesignedFollowUp) => readonly C[],
  options: PoolOptions = {},
): (C | PooledContrast<C>)[] {
  const results = sets.map(estimate);
  if (results.length === 1) return [...results[0]!];
  return poolContrasts(results, { units: unitsOf(sets), ...options });
}

/** Kaplan-Meier by group over completed sets, pooled; of one set alone, as it is. */
export function pooledSurvivalByGroup(
  sets: readonly DesignedFollowUp[],
  options: KaplanMeierOptions = {},
): { group: string | number; curve: KaplanMeier }[] {
  const each = sets.map((data) => kaplanMeierByGroup(data, options));
  if (each.length === 1) return each[0]!;
  const pooling = { confidence: options.confidence, units: unitsOf(sets) };
  return each[0]!.map(({ group }, k) => ({
    group,
    curve: poolSurvival(each.map((set) => set[k]!.curve), pooling),
  }));
}

/** Cumulative incidence by group over completed sets, pooled; of one set alone, as it is. */
export function pooledIncidenceByGroup(
  sets: readonly DesignedFollowUp[],
  options: IncidenceOptions = {},
): (CumulativeIncidence & { group: string | number })[] {
  const each = sets.map((data) => cumulativeIncidenceByGroup(data, options));
  if (each.length === 1) return each[0]!;
  const pooling = { confidence: options.confidence, units: unitsOf(sets) };
  return each[0]!.map(({ group }, k) => ({
    ...poolIncidence(each.map((set) => set[k]!), pooling),
    group,
  }));
}

/** Independent units: pairs where there are pairs, else patients. */
function unitsOf(sets: readonly DesignedFollowUp[]): number {
  const counts = sets.map(({ cluster, time }) => cluster ? new Set(cluster).size : time.length);
  return Math.min(...counts);
}
