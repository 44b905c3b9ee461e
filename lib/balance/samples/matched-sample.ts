import { formatPercent } from "../../words/mod.ts";
import type { Analysis } from "../../cohort/model/mod.ts";
import type { Study } from "../../study/file/mod.ts";
import { DataError, quietly, raised } from "../../numerics/mod.ts";
import {
  type MatchData,
  type MatchOptions,
  matchPairs,
  type Pair,
  setsOf,
  wholeSearch,
} from "../match/mod.ts";
import { type StudyPropensity, studyPropensity } from "../score/mod.ts";

/**
 * The matched sample of an analysis.
 *
 * Rows are of the analysis, set by set: a repair, then its replacements. With replacement in
 * matching one patient may stand in several rows.
 */
export interface MatchedSample {
  /** Tells it from a weighted sample. */
  kind: "matched-sample";
  /** Repair and replacement, as rows of the analysis. */
  pairs: Pair[];
  /** Analysis rows in the matched sample. */
  rows: Int32Array;
  /** The matched set of each, 0, 1, ...: stratify or cluster on it. */
  pairId: Int32Array;
  /** 1 = repair, of each. */
  treated: Uint8Array;
  /** Weight of each: 1, or 1 / k for each of k replacements matched to one repair. */
  rowWeight: Float64Array;
  /**
   * For every row of the *analysis* its weight in the matched sample, 0 for whoever is not in it.
   */
  weight: Float64Array;
  /** Analysis rows without a partner. */
  unmatched: { repair: Int32Array; replacement: Int32Array };
  /** Number of matched sets. */
  sets: number;
  /** Farthest partners could be apart, in units of the score. */
  caliperWidth: number;
  /** The score that it rests on. */
  propensity: StudyPropensity;
  /**
   * Where missing covariates are imputed: the pairs of each completed set. The sample itself is
   * then matched on the mean score: what is counted and drawn is of its pairs, what is estimated is
   * pooled over the sets.
   */
  inSets?: readonly MatchedSample[];
  /** The propensity model's, and what matching adds. */
  warnings: string[];
}

// From this share of repairs without a partner, the matched are no longer "those repaired".
const manyUnmatched = 0.1;

/**
 * Matches repairs to replacements on the logit of the propensity score, as the study plans it.
 *
 * The matched sample stands for the repairs that found a partner, not for everyone. Analyse it as
 * pairs: stratify or cluster on `pairId`.
 *
 * Beginning with the highest score, each repair gets what those with higher scores left, so that
 * partners tend to have lower scores, within the caliper; in simulated cohorts that leaves a bias
 * of a fifth of a standard error. Beginning with the closest does not (DEVELOPERS.md).
 *
 * @param options.propensity A score already at hand.
 * @param options.search "one-by-one" or "whole", in place of the plan's.
 * @throws {DataError}
 * @see Austin (2011) Multivariate Behav Res 46:399-424.
 */
export function matchedSample(
  analysis: Analysis,
  study: Study,
  options: { propensity?: StudyPropensity; search?: MatchOptions["search"] } = {},
): MatchedSample {
  const propensity = options.propensity ?? studyPropensity(analysis, study);
  const inSets = propensity.inSets?.map((own) =>
    quietly(() => matchedSample(analysis, study, { ...options, propensity: own }))
  );
  const { pairs, caliperWidth, unmatchedTreated } = matchPairs(
    ...toMatch(analysis, study, { propensity, search: options.search }),
  );
  const sample = setsOf(pairs);
  const weight = new Float64Array(analysis.n);
  sample.rows.forEach((row, i) => weight[row]! += sample.rowWeight[i]!);
  const unmatched = {
    repair: Int32Array.from(unmatchedTreated),
    replacement: without(analysis, weight),
  };
  const warnings = [...propensity.warnings];
  const left = unmatched.repair.length / analysis.groups.counts.repair;
  if (left > manyUnmatched) {
    warnings.push(
      `${
        formatPercent(left, { digits: 0 })
      } of the repairs found no partner: matched results say ` +
        "nothing of them.",
    );
  }
  return {
    kind: "matched-sample",
    pairs,
    ...sample,
    weight,
    unmatched,
    caliperWidth,
    propensity,
    ...(inSets && { inSets }),
    warnings: raised(warnings),
  };
}

/**
 * How many pairs of patients lie within the caliper, of patients who may be partners, where the
 * plan has all pairs searched for as a whole: and how many are taken at most. With more
 * {@link matchedSample} throws. Where missing covariates are imputed: of the set that has most.
 */
export function plannedSearch(
  analysis: Analysis,
  study: Study,
  propensity: StudyPropensity,
): { pairs: number; most: number } {
  const scores = [propensity, ...propensity.inSets ?? []];
  return scores.map((own) => wholeSearch(...toMatch(analysis, study, { propensity: own })))
    .reduce((largest, one) => one.pairs > largest.pairs ? one : largest);
}

/** What the study plans to be matched, and how. */
function toMatch(
  analysis: Analysis,
  study: Study,
  { propensity, search }: { propensity: StudyPropensity; search?: MatchOptions["search"] },
): [MatchData, MatchOptions] {
  const { alike, ...planned } = study.matching;
  return [
    {
      treated: analysis.treated,
      score: propensity.linearPredictor,
      ...(alike.length > 0 ? { alike: alikeLabels(analysis, alike) } : {}),
    },
    { ...planned, search: search ?? planned.search },
  ];
}

/** A label made of all the columns in which partners must agree; missing agrees with missing. */
export function alikeLabels(analysis: Analysis, columns: readonly string[]): string[] {
  const parts = columns.map((name) => {
    const column = analysis.columns[name];
    if (!column) throw new DataError("matching.alike", "columns the cohort has", name);
    return column;
  });
  return Array.from(
    { length: analysis.n },
    (_, i) => JSON.stringify(parts.map((part) => String(part[i]))),
  );
}

function without(analysis: Analysis, weight: Float64Array): Int32Array {
  const rows: number[] = [];
  weight.forEach((w, row) => {
    if (w === 0 && analysis.treated[row] === 0) rows.push(row);
  });
  return Int32Array.from(rows);
}
