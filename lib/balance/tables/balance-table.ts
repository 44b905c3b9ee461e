import { roundTo } from "../../words/mod.ts";
import { completedAnalyses } from "../../cohort/analysis/mod.ts";
import type { Analysis } from "../../cohort/model/mod.ts";
import { MANY, meanOf, momentsOf } from "../../numerics/mod.ts";
import type { Study } from "../../study/file/mod.ts";
import { describedColumn, type StudyCovariate } from "../score/mod.ts";
import {
  type AdjustedWeights,
  type BalanceMeasures,
  type BeforeAfter,
  type CovariateBalance,
  exactBalance,
  exactRows,
  type WeightsInSets,
} from "./covariate-balance.ts";

/** Balance of an analysis before and after the groups were made alike. */
export interface BalanceTable {
  /** One a covariate. */
  rows: CovariateBalance[];
  /** Largest absolute standardised difference. */
  largest: BeforeAfter;
  /** How many absolute standardised differences are above 0.1. */
  aboveTenth: BeforeAfter;
}

/**
 * Standardised differences of the study's adjustment covariates before and after matching and
 * weighting: repair minus replacement, always in standard deviations of the sample before.
 *
 * A column that applies to some, or is missing for some, is compared among those who have it; the
 * share missing is a row of its own. A category is one number, at least 0. Where a difference of
 * shares would give away a count below the study's smallest cell it is rounded to 0.1, or null
 * where that would still give it away, as among few patients; `largest` and `aboveTenth` use the
 * unrounded values. No p value: balance is a property of the sample, not of a population.
 *
 * Where missing covariates are imputed, each measure is the mean over the completed sets, with the
 * weights of each; nothing is missing in them. Of 20,000 patients and more the mean is over the
 * first sets alone, as many as it takes until its error over sets is at most 0.001
 * in every measure.
 *
 * @throws {DataError}
 * @see Austin (2009) Stat Med 28:3083-3107.
 */
export function balanceTable(
  analysis: Analysis,
  study: Study,
  options: AdjustedWeights & BalanceMeasures = {},
): BalanceTable {
  const exact = meanOfSets(
    inEachSet(analysis, options, (set, own) => exactRows(set, study, { ...options, ...own })),
  );
  const over = (measure: (values: number[]) => number): BeforeAfter => {
    const of = (key: keyof BeforeAfter) => {
      const values = exact.flatMap((row) => row[key] === null ? [] : [Math.abs(row[key])]);
      return values.length === 0 ? null : measure(values);
    };
    return beforeAfter(of);
  };
  return {
    rows: exact.map(published),
    largest: over((values) => Math.max(...values)),
    aboveTenth: over((values) => values.filter((value) => value > 0.1).length),
  };
}

// Of many patients, sets are described until more would change nothing that is printed.
const fewestSets = 3;
const smallError = 0.001;

/**
 * Each completed set with its own weights; the analysis itself where nothing is imputed. Of many
 * patients no more sets than it takes until the error of their mean, sd / sqrt(sets), is at most
 * 0.001 in every measure.
 */
function inEachSet(
  analysis: Analysis,
  { matched, weighted }: AdjustedWeights,
  work: (set: Analysis, adjusted: AdjustedWeights) => CovariateBalance[],
): CovariateBalance[][] {
  const own = (weights: WeightsInSets | undefined, k: number) => weights?.inSets?.[k] ?? weights;
  const described: CovariateBalance[][] = [];
  for (const [k, set] of completedAnalyses(analysis).entries()) {
    described.push(work(set, {
      ...(matched && { matched: own(matched, k) }),
      ...(weighted && { weighted: own(weighted, k) }),
    }));
    if (analysis.n >= MANY && isSettled(described)) break;
  }
  return described;
}

/** Whether the mean over the sets described so far is known to what is printed of it. */
function isSettled(sets: readonly CovariateBalance[][]): boolean {
  if (sets.length < fewestSets) return false;
  const measures = (row: CovariateBalance) =>
    [row, row.varianceRatio, row.distance].flatMap((one) =>
      sampleKeys.map((key) => one[key] ?? NaN)
    );
  return sets[0]!.every((_, place) => {
    const each = sets.flatMap((rows) => rows[place] ? [measures(rows[place])] : []);
    return each[0]!.every((_, m) => {
      const { n, variance } = momentsOf(Float64Array.from(each, (values) => values[m]!));
      // a measure that some set does not have stays unknown, however many there are
      return Number.isNaN(variance) || Math.sqrt(variance / n) <= smallError;
    });
  });
}

const sampleKeys = ["before", "afterMatching", "afterWeighting"] as const;

/** One measure of every sample. */
function beforeAfter(of: (key: keyof BeforeAfter) => number | null): BeforeAfter {
  return {
    before: of("before"),
    afterMatching: of("afterMatching"),
    afterWeighting: of("afterWeighting"),
  };
}

/** Row by row the mean over the sets, which have the same rows. */
function meanOfSets(sets: readonly CovariateBalance[][]): CovariateBalance[] {
  const [first] = sets as [CovariateBalance[]];
  if (sets.length === 1) return first;
  return first.map((row, place) => {
    const each = sets.flatMap((rows) => rows[place] ?? []);
    const mean = (of: (one: CovariateBalance) => BeforeAfter): BeforeAfter => {
      const over = (key: keyof BeforeAfter) => {
        const values = each.flatMap((one) => of(one)[key] ?? []);
        return values.length === 0 ? null : meanOf(values);
      };
      return beforeAfter(over);
    };
    return {
      ...row,
      ...mean((one) => one),
      varianceRatio: mean((one) => one.varianceRatio),
      distance: mean((one) => one.distance),
      coarse: each.some(({ coarse }) => coarse),
      untold: each.some(({ untold }) => untold),
    };
  });
}

/** Balance of one covariate among those who have it, fit to publish. */
export function balanceOf(
  analysis: Analysis,
  covariate: StudyCovariate,
  adjusted: AdjustedWeights,
): CovariateBalance {
  const sets = inEachSet(analysis, adjusted, (set, own) => [
    exactBalance(
      set,
      set === analysis ? covariate : describedColumn(set, covariate.column),
      own,
    ),
  ]);
  return published(meanOfSets(sets)[0]!);
}

function published(row: CovariateBalance): CovariateBalance {
  if (!row.coarse) return row;
  const tenths = (value: number | null) => value === null ? null : roundTo(value, 1);
  return {
    ...row,
    before: row.untold ? null : tenths(row.before),
    afterMatching: row.untold ? null : tenths(row.afterMatching),
    afterWeighting: tenths(row.afterWeighting),
  };
}
