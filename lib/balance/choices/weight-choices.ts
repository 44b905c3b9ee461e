import type { Analysis } from "../../cohort/model/mod.ts";
import { ENOUGH, meanOf, quietly } from "../../numerics/mod.ts";
import type { Study } from "../../study/file/mod.ts";
import { formatNumber } from "../../words/mod.ts";
import { weightedSample } from "../samples/mod.ts";
import { estimandInWords } from "../estimand/mod.ts";
import type { StudyPropensity } from "../score/mod.ts";
import { balanceTable, type WeightsInSets } from "../tables/mod.ts";
import { effectiveSampleSize, entropyWeights } from "../weigh/mod.ts";

/** One way of weighting: what it buys in balance and what it costs in information. */
export interface WeightChoice {
  /** The patients that results would be about. */
  whom: string;
  /** What is done with the weights, in words. */
  how: string;
  /** Patients whose weight was cut. */
  cut: number;
  /** Effective sample sizes. */
  repair: number;
  /** Effective number of patients in the replacement group. */
  replacement: number;
  /** Largest absolute standardised difference of the plan's covariates. */
  largest: number | null;
}

const fewSets = 5;
const percentiles: (readonly [number, number] | null)[] = [null, [0.01, 0.99], [0.05, 0.95]];

/**
 * The plan's weights and weights for everyone, as they are and cut at percentiles, and entropy
 * balancing where it succeeds.
 *
 * @throws {DataError} as {@link weightedSample} and {@link entropyWeights}.
 */
export function weightChoices(
  analysis: Analysis,
  study: Study,
  { propensity }: { propensity: StudyPropensity },
): WeightChoice[] {
  const largestOf = (weighted: WeightsInSets) =>
    balanceTable(analysis, study, { weighted, shapes: false }).largest.afterWeighting;
  const estimands = [...new Set([study.estimand, "everyone" as const])];
  const choices = estimands.flatMap((estimand) =>
    percentiles.map((truncate): WeightChoice => {
      const weights = { ...study.weights, truncate: truncate && [...truncate] as [number, number] };
      const sample = quietly(() =>
        weightedSample(analysis, { ...study, weights }, {
          // the plan's own weights as they are used; others under the mean score
          propensity: estimand === study.estimand && truncate === null
            ? propensity
            : { ...propensity, inSets: undefined },
          estimand,
        })
      );
      return {
        whom: estimandInWords(estimand),
        how: truncate ? `cut at ${truncate.map(percentText).join(" and ")}` : "as they are",
        cut: sample.truncation?.cut ?? 0,
        repair: sample.repair.effective,
        replacement: sample.replacement.effective,
        largest: largestOf(sample),
      };
    })
  );
  const { treated } = analysis;
  // of very many patients the sets hardly differ, and a few show it
  const enough = analysis.n < ENOUGH ? Infinity : fewSets;
  const sets = (propensity.inSets ?? [propensity]).slice(0, enough).map((set) =>
    entropyWeights({ treated, covariates: set.design.covariates }, { estimand: "everyone" })
  );
  if (!sets.every(({ converged }) => converged)) return choices;
  const effectiveOf = (code: number) =>
    meanOf(
      sets.map(({ weight }) =>
        effectiveSampleSize(weight.filter((_, row) => treated[row] === code))
      ),
    );
  return [...choices, {
    whom: estimandInWords("everyone"),
    how: "entropy balancing",
    cut: 0,
    repair: effectiveOf(1),
    replacement: effectiveOf(0),
    largest: largestOf({ weight: sets[0]!.weight, inSets: sets }),
  }];
}

function percentText(share: number): string {
  return `${formatNumber(100 * share)}%`;
}
