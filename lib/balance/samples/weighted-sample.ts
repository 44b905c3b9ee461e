import { formatNumber, formatPercent } from "../../words/mod.ts";
import { meanOf, quietly, raised } from "../../numerics/mod.ts";
import type { Analysis } from "../../cohort/model/mod.ts";
import type { Study } from "../../study/file/mod.ts";
import { balancingWeights, effectiveSampleSize, type Estimand } from "../weigh/mod.ts";
import { estimandInWords } from "../estimand/mod.ts";
import { standardizedDifference } from "../alike/mod.ts";
import { meanOver, type StudyPropensity, studyPropensity } from "../score/mod.ts";

/** Effective sample size and range of the weights of one group. */
export interface GroupWeights {
  /** Patients. */
  n: number;
  /** Effective number of patients. */
  effective: number;
  /** Smallest weight. */
  smallest: number;
  /** Largest weight. */
  largest: number;
  /** The heaviest patient's share of the group's weight. */
  largestShare: number;
}

/** An analysis with a weight for each patient. */
export interface WeightedSample {
  /** Tells it from a matched sample. */
  kind: "weighted-sample";
  /** Whom the answer is about. */
  estimand: Estimand;
  /** Whom the weighted results are about, as a phrase. */
  inWords: string;
  /** One a row of the analysis. */
  weight: Float64Array;
  /** Weights of the repair group. */
  repair: GroupWeights;
  /** Weights of the replacement group. */
  replacement: GroupWeights;
  /** What cutting extreme weights did; null where the plan does not ask for it. */
  truncation: Truncation | null;
  /** The score that it rests on. */
  propensity: StudyPropensity;
  /**
   * Where missing covariates are imputed: the weights of each completed set. `weight` is then their
   * mean, which gives the pooled estimates to first order; limits made with it leave out what
   * imputing adds.
   */
  inSets?: readonly WeightedSample[];
  /** What a reader must be told, in sentences. */
  warnings: string[];
}

/** Weights before and after extreme ones were cut. */
export interface Truncation {
  /** Percentiles of the weights beyond which they were cut, 0 to 1. */
  percentiles: readonly [number, number];
  /** Patients whose weight was cut. */
  cut: number;
  /** What the weights were before, and the largest standardised difference then. */
  before: { repair: GroupWeights; replacement: GroupWeights; largestDifference: number };
  /** Largest absolute standardised difference of the model's columns after the cut. */
  largestDifference: number;
}

// One patient above this share of a group's weight decides too much (common practice, no source).
const heavy = 0.05;

/**
 * Weights each patient so that both groups resemble the study's estimand, as planned.
 *
 * @param options.estimand Instead of the study's.
 * @param options.propensity A score already at hand.
 * @throws {DataError}
 * @see {@link balancingWeights}
 */
export function weightedSample(
  analysis: Analysis,
  study: Study,
  options: { estimand?: Estimand; propensity?: StudyPropensity } = {},
): WeightedSample {
  const estimand = options.estimand ?? study.estimand;
  const propensity = options.propensity ?? studyPropensity(analysis, study);
  const inSets = propensity.inSets?.map((own) =>
    quietly(() => weightedSample(analysis, study, { estimand, propensity: own }))
  );
  const { stabilized, truncate } = study.weights;
  const data = { treated: analysis.treated, score: propensity.score };
  const whole = balancingWeights(data, { estimand, stabilized });
  const weight = inSets
    ? meanOver(inSets.map((own) => own.weight))
    : truncate
    ? balancingWeights(data, { estimand, stabilized, truncate: [truncate[0], truncate[1]] })
    : whole;
  const repair = groupWeights(analysis, weight, 1);
  const replacement = groupWeights(analysis, weight, 0);
  const warnings = [...propensity.warnings];
  for (const [name, group] of [["repairs", repair], ["replacements", replacement]] as const) {
    if (group.largestShare > heavy) {
      warnings.push(
        `One patient carries ${
          formatPercent(group.largestShare, { digits: 0 })
        } of the weight of the ${name}.`,
      );
    }
    if (group.effective < group.n / 4) {
      warnings.push(
        `Weighting leaves the information of about ${
          formatNumber(group.effective, { digits: 0 })
        } ` +
          `of ${group.n} ${name}.`,
      );
    }
  }
  return {
    kind: "weighted-sample",
    estimand,
    inWords: estimandInWords(estimand),
    weight,
    repair,
    replacement,
    truncation: truncate
      ? {
        percentiles: truncate,
        cut: inSets
          ? Math.round(meanOf(inSets.map(({ truncation }) => truncation!.cut)))
          : weight.reduce((sum, w, i) => sum + (w === whole[i] ? 0 : 1), 0),
        before: {
          repair: groupWeights(analysis, whole, 1),
          replacement: groupWeights(analysis, whole, 0),
          largestDifference: largestDifference(analysis, propensity, whole),
        },
        largestDifference: largestDifference(analysis, propensity, weight),
      }
      : null,
    propensity,
    ...(inSets && { inSets }),
    warnings: raised(warnings),
  };
}

function groupWeights(analysis: Analysis, weight: Float64Array, code: 0 | 1): GroupWeights {
  const own = weight.filter((_, i) => analysis.treated[i] === code);
  let total = 0;
  let smallest = Infinity;
  let largest = 0;
  for (const w of own) {
    total += w;
    smallest = Math.min(smallest, w);
    largest = Math.max(largest, w);
  }
  return {
    n: own.length,
    effective: effectiveSampleSize(own),
    smallest,
    largest,
    largestShare: largest / total,
  };
}

function largestDifference(
  { treated }: Analysis,
  { design }: StudyPropensity,
  weight: Float64Array,
): number {
  return Object.values(design.covariates).reduce((most, covariate) => {
    const difference = Math.abs(standardizedDifference({ treated, covariate, weight }));
    return Math.max(most, difference);
  }, 0);
}
