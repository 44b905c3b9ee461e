import { roundTo } from "../../words/mod.ts";
import type { Analysis } from "../../cohort/model/mod.ts";
import type { Labels } from "../../numerics/mod.ts";
import type { Study } from "../../study/file/mod.ts";
import {
  categoricalDifference,
  distributionDistance,
  standardizedDifference,
  varianceRatio,
} from "../alike/mod.ts";
import { type StudyCovariate, studyCovariate } from "../score/mod.ts";

/** One measure in the sample as it is, after matching and after weighting; null where not known. */
export interface BeforeAfter {
  /** In all patients; null where it cannot be told. */
  before: number | null;
  /** In the matched; null without them. */
  afterMatching: number | null;
  /** Under weights; null without them. */
  afterWeighting: number | null;
}

/** Balance of one covariate. Its own fields are standardised differences. */
export interface CovariateBalance extends BeforeAfter {
  /** Name of the covariate. */
  covariate: string;
  /** Name as readers see it. */
  label: string;
  /** "missing": the share without a value; "square", "product": of numbers about their means. */
  kind: "number" | "binary" | "category" | "missing" | "square" | "product";
  /** Ratio of variances; null for all but numbers. */
  varianceRatio: BeforeAfter;
  /** Largest distance between distribution functions; null for all but numbers. */
  distance: BeforeAfter;
  /**
   * Whether the standardised differences are rounded to 0.1, because they would give away a count
   * below the study's smallest cell.
   */
  coarse: boolean;
}

/** Balance of an analysis before and after the groups were made alike. */
export interface BalanceTable {
  /** One a covariate. */
  rows: CovariateBalance[];
  /** Largest absolute standardised difference. */
  largest: BeforeAfter;
  /** How many absolute standardised differences are above 0.1. */
  aboveTenth: BeforeAfter;
}

/** Weights, one a row of the analysis: see MatchedSample.weight and WeightedSample.weight. */
export interface AdjustedWeights {
  /** Weights of matching, one a patient. */
  matched?: { weight: Float64Array };
  /** Weights of weighting, one a patient. */
  weighted?: { weight: Float64Array };
}

/**
 * Standardised differences of the study's adjustment covariates before and after matching and
 * weighting: repair minus replacement, always in standard deviations of the sample before.
 *
 * A column that applies to some, or is missing for some, is compared among those who have it; the
 * share missing is a row of its own. A category is one number, at least 0. Where a difference of
 * shares would give away a count below the study's smallest cell it is rounded to 0.1; `largest` and
 * `aboveTenth` use the unrounded values. No p value: balance is a property of the sample, not of a
 * population.
 *
 * @param options.products "none" (the default), "squares" of numbers, or "all": squares and products
 * of every two numbers and 0/1 columns, all about their means.
 * @throws {DataError}
 * @see Austin (2009) Stat Med 28:3083-3107.
 */
export function balanceTable(
  analysis: Analysis,
  study: Study,
  options: AdjustedWeights & { products?: "none" | "squares" | "all" } = {},
): BalanceTable {
  const covariates = study.adjustment.covariates.map(({ column }) =>
    studyCovariate(analysis, column)
  );
  const exact: CovariateBalance[] = [];
  for (const covariate of covariates) {
    exact.push(exactBalance(analysis, covariate, options));
    const missing = missingBalance(analysis, covariate, options);
    if (missing) exact.push(missing);
  }
  const { products = "none" } = options;
  if (products !== "none") {
    const numbers = covariates.filter(({ kind }) => kind !== "category");
    numbers.forEach((a, i) => {
      for (const b of products === "all" ? numbers.slice(i) : [a]) {
        if (a === b && a.kind === "binary") continue;
        exact.push(productBalance(analysis, a, b, options));
      }
    });
  }
  const over = (measure: (values: number[]) => number): BeforeAfter => {
    const of = (key: keyof BeforeAfter) => {
      const values = exact.flatMap((row) => row[key] === null ? [] : [Math.abs(row[key])]);
      return values.length === 0 ? null : measure(values);
    };
    return {
      before: of("before"),
      afterMatching: of("afterMatching"),
      afterWeighting: of("afterWeighting"),
    };
  };
  return {
    rows: exact.map(published),
    largest: over((values) => Math.max(...values)),
    aboveTenth: over((values) => values.filter((value) => value > 0.1).length),
  };
}

/** Balance of one covariate among those who have it, fit to publish. */
export function balanceOf(
  analysis: Analysis,
  covariate: StudyCovariate,
  adjusted: AdjustedWeights,
): CovariateBalance {
  return published(exactBalance(analysis, covariate, adjusted));
}

function published(row: CovariateBalance): CovariateBalance {
  if (!row.coarse) return row;
  const tenths = (value: number | null) => value === null ? null : roundTo(value, 1);
  return {
    ...row,
    before: tenths(row.before),
    afterMatching: tenths(row.afterMatching),
    afterWeighting: tenths(row.afterWeighting),
  };
}

/** Whether some value is that of few patients of a group, matched, not matched or both. */
function hasFew(
  analysis: Analysis,
  among: Uint8Array,
  values: Float64Array,
  adjusted: AdjustedWeights,
): boolean {
  const smallest = analysis.study.smallestCell;
  const matched = adjusted.matched?.weight;
  const unmatched = matched?.map((w) => w > 0 ? 0 : 1);
  for (const weight of [undefined, matched, unmatched]) {
    const counts = new Map<number, number>();
    for (let i = 0; i < analysis.n; i++) {
      if (!among[i] || (weight && !(weight[i]! > 0))) continue;
      const key = 2 * values[i]! + analysis.treated[i]!;
      counts.set(key, (counts.get(key) ?? 0) + 1);
    }
    for (const count of counts.values()) if (count < smallest) return true;
  }
  return false;
}

function exactBalance(
  analysis: Analysis,
  covariate: StudyCovariate,
  adjusted: AdjustedWeights,
): CovariateBalance {
  const { kind, present, values } = covariate;
  const measure = measureAmong(analysis, present, adjusted);
  const number = kind === "number";
  return {
    covariate: covariate.column,
    label: covariate.label,
    kind,
    ...measure((data) =>
      kind === "category"
        ? categoricalDifference({ ...data, category: data.pick(values) as Labels })
        : standardizedDifference({ ...data, covariate: data.pick(values) })
    ),
    varianceRatio: number
      ? measure((data) => {
        const column = data.pick(values);
        return isConstant(column, data.weight)
          ? null
          : varianceRatio({ ...data, covariate: column });
      })
      : none,
    distance: number
      ? measure((data) => distributionDistance({ ...data, covariate: data.pick(values) }).maximum)
      : none,
    coarse: !number && hasFew(analysis, present, values, adjusted),
  };
}

const none: BeforeAfter = { before: null, afterMatching: null, afterWeighting: null };

function missingBalance(
  analysis: Analysis,
  { column, label, applies, present }: StudyCovariate,
  adjusted: AdjustedWeights,
): CovariateBalance | undefined {
  const missing = Float64Array.from(present, (has) => has ? 0 : 1);
  if (!missing.some((is, i) => is === 1 && applies[i] === 1)) return undefined;
  return {
    covariate: column,
    label: `${label}: missing`,
    kind: "missing",
    ...measureAmong(analysis, applies, adjusted)((data) =>
      standardizedDifference({ ...data, covariate: data.pick(missing) })
    ),
    varianceRatio: none,
    distance: none,
    coarse: hasFew(analysis, applies, missing, adjusted),
  };
}

function productBalance(
  analysis: Analysis,
  a: StudyCovariate,
  b: StudyCovariate,
  adjusted: AdjustedWeights,
): CovariateBalance {
  const both = a.present.map((has, i) => has & b.present[i]!);
  const [meanA, meanB] = [meanWhere(a.values, both), meanWhere(b.values, both)];
  const product = a.values.map((value, i) => (value - meanA) * (b.values[i]! - meanB));
  return {
    covariate: a === b ? a.column : `${a.column} * ${b.column}`,
    label: a === b ? `${a.label}, squared` : `${a.label} × ${b.label}`,
    kind: a === b ? "square" : "product",
    ...measureAmong(analysis, both, adjusted)((data) =>
      standardizedDifference({ ...data, covariate: data.pick(product) })
    ),
    varianceRatio: none,
    distance: none,
    coarse: false,
  };
}

interface Among {
  treated: Uint8Array;
  weight?: Float64Array;
  /** The rows of a column that count here. */
  pick(column: Float64Array): Float64Array;
}

/** Applies a measure to some rows, before, after matching and after weighting. */
function measureAmong(analysis: Analysis, among: Uint8Array, adjusted: AdjustedWeights) {
  const rows: number[] = [];
  among.forEach((is, i) => {
    if (is) rows.push(i);
  });
  const pick = (column: Float64Array) => Float64Array.from(rows, (row) => column[row]!);
  const treated = Uint8Array.from(rows, (row) => analysis.treated[row]!);
  return (measure: (data: Among) => number | null): BeforeAfter => {
    const under = (weights?: Float64Array): number | null => {
      const weight = weights && pick(weights);
      // with fewer than two rows that count in a group there is no spread to measure
      for (const code of [0, 1]) {
        let count = 0;
        treated.forEach((group, i) => {
          if (group === code && (!weight || weight[i]! > 0)) count++;
        });
        if (count < 2) return null;
      }
      return measure({ treated, pick, ...(weight ? { weight } : {}) });
    };
    return {
      before: under(),
      afterMatching: adjusted.matched ? under(adjusted.matched.weight) : null,
      afterWeighting: adjusted.weighted ? under(adjusted.weighted.weight) : null,
    };
  };
}

function meanWhere(values: Float64Array, where: Uint8Array): number {
  let sum = 0;
  let count = 0;
  values.forEach((value, i) => {
    if (!where[i]) return;
    sum += value;
    count++;
  });
  return sum / count;
}

/** Whether all rows that count have one value. */
function isConstant(column: Float64Array, weight?: Float64Array): boolean {
  const counts = (i: number) => !weight || weight[i]! > 0;
  const first = column.find((_, i) => counts(i));
  return column.every((value, i) => !counts(i) || value === first);
}
