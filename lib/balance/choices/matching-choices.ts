import type { Analysis } from "../../cohort/model/mod.ts";
import { quietly } from "../../numerics/mod.ts";
import type { Study } from "../../study/file/mod.ts";
import { type MatchedSample, matchedSample } from "../samples/mod.ts";
import type { StudyPropensity } from "../score/mod.ts";
import { balanceTable } from "../tables/mod.ts";

/** Pairs made in one of the orders that have a name. */
export interface MatchedEachWay {
  /** Name as readers see it. */
  label: string;
  /** Whether the plan matches this way. */
  planned: boolean;
  /** The pairs made. */
  sample: MatchedSample;
}

const ways = [
  { label: "highest score first", search: "one-by-one", begin: "highest" },
  { label: "lowest score first", search: "one-by-one", begin: "lowest" },
  { label: "as listed in the file", search: "one-by-one", begin: "as-listed" },
  { label: "closest two first", search: "one-by-one", begin: "closest" },
  { label: "least total distance", search: "whole", begin: "highest" },
] as const;

/**
 * The matched sample in each order in which patients can look for partners, the rest as planned.
 *
 * @throws {DataError} as {@link matchedSample}.
 */
export function matchedEachWay(
  analysis: Analysis,
  study: Study,
  { propensity }: { propensity: StudyPropensity },
): MatchedEachWay[] {
  const { matching } = study;
  return ways.map(({ label, search, begin }) => ({
    label,
    planned: search === matching.search && (search === "whole" || begin === matching.begin),
    sample: quietly(() =>
      matchedSample(analysis, { ...study, matching: { ...matching, search, begin } }, {
        // of orders the mean score's pairs are shown alone, where missing covariates are imputed
        propensity: { ...propensity, inSets: undefined },
      })
    ),
  }));
}

/** What one order of matching gives, before any outcome is looked at. */
export interface MatchingChoice {
  /** Name as readers see it. */
  label: string;
  /** Whether the plan asked for it. */
  planned: boolean;
  /** Pairs made. */
  pairs: number;
  /** Distances of partners on the logit of the score. */
  total: number;
  /** Mean distance of partners. */
  mean: number;
  /** Largest absolute standardised difference of the plan's covariates. */
  largest: number | null;
}

/** How many pairs each order makes, how close partners are and how alike the groups become. */
export function matchingChoices(
  analysis: Analysis,
  study: Study,
  { propensity }: { propensity: StudyPropensity },
): MatchingChoice[] {
  const score = propensity.linearPredictor;
  return matchedEachWay(analysis, study, { propensity }).map(({ label, planned, sample }) => {
    const distances = sample.pairs.map(([a, b]) => Math.abs((score[a] ?? NaN) - (score[b] ?? NaN)));
    const total = distances.reduce((sum, distance) => sum + distance, 0);
    const { largest } = balanceTable(analysis, study, { matched: sample, shapes: false });
    const pairs = sample.pairs.length;
    return {
      label,
      planned,
      pairs,
      total,
      mean: pairs === 0 ? NaN : total / pairs,
      largest: pairs === 0 ? null : largest.afterMatching,
    };
  });
}
