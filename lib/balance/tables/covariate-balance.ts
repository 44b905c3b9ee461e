import type { Analysis } from "../../cohort/model/mod.ts";
import { type Labels, valuesAt } from "../../numerics/mod.ts";
import type { Study } from "../../study/file/mod.ts";
import {
  categoricalDifference,
  distributionDistances,
  standardizedDifferences,
  varianceRatio,
} from "../alike/mod.ts";
import { type StudyCovariate, studyCovariate } from "../score/mod.ts";
import { tellingOf } from "./telling.ts";

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
  /**
   * Whether even a tenth would: those of all and of the matched are then null. What is weighted
   * tells of nobody's number.
   */
  untold?: boolean;
}

/**
 * Weights, one a row of the analysis, and those of each completed set where there are such: see
 * MatchedSample and WeightedSample.
 */
export interface AdjustedWeights {
  /** Of matching, one a patient. */
  matched?: WeightsInSets;
  /** Of weighting, one a patient. */
  weighted?: WeightsInSets;
}

/** What a balance table measures. */
export interface BalanceMeasures {
  /**
   * "none" (the default), "squares" of numbers, or "all": squares and products of every two numbers
   * and 0/1 columns, all about their means.
   */
  products?: "none" | "squares" | "all";
  /**
   * Ratios of variances and distances of distributions beside the differences, the default, or not.
   */
  shapes?: boolean;
}

/** Weights, and those of each completed set. */
export interface WeightsInSets {
  /** One a row. */
  weight: Float64Array;
  /** Those of each completed set. */
  inSets?: readonly { weight: Float64Array }[];
}

/** Every row of a balance table in one completed set, or the analysis as it is, unrounded. */
export function exactRows(
  analysis: Analysis,
  study: Study,
  options: AdjustedWeights & BalanceMeasures,
): CovariateBalance[] {
  const covariates = study.adjustment.covariates.map(({ column }) =>
    studyCovariate(analysis, column)
  );
  const exact: CovariateBalance[] = [];
  for (const covariate of covariates) {
    exact.push(exactBalance(analysis, covariate, options, options.shapes));
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
  return exact;
}

/** Balance of one covariate among those who have it, unrounded. */
export function exactBalance(
  analysis: Analysis,
  covariate: StudyCovariate,
  adjusted: AdjustedWeights,
  shapes = true,
): CovariateBalance {
  const { kind, present, values } = covariate;
  const measure = measureAmong(analysis, present, adjusted);
  const number = kind === "number";
  const shaped = shapes && number;
  return {
    covariate: covariate.column,
    label: covariate.label,
    kind,
    ...(kind === "category"
      ? measure.each(
        ({ treated, weight }, column) =>
          categoricalDifference({ treated, weight, category: column as Labels }),
        values,
      )
      : measure.differences(values)),
    varianceRatio: shaped
      ? measure.each(
        ({ treated, weight }, covariate) =>
          isConstant(covariate, weight) ? null : varianceRatio({ treated, weight, covariate }),
        values,
      )
      : none,
    distance: shaped ? measure.distances(values) : none,
    ...(number
      ? { coarse: false }
      : tellingOf(analysis, present, values, adjusted.matched?.weight)),
  };
}

const none: BeforeAfter = { before: null, afterMatching: null, afterWeighting: null };

function missingBalance(
  analysis: Analysis,
  { column, label, applies, present }: StudyCovariate,
  adjusted: AdjustedWeights,
): CovariateBalance | undefined {
  const n = present.length;
  let any = false;
  for (let i = 0; i < n && !any; i++) any = applies[i] === 1 && present[i] === 0;
  if (!any) return undefined;
  const missing = new Float64Array(n);
  for (let i = 0; i < n; i++) missing[i] = present[i] ? 0 : 1;
  return {
    covariate: column,
    label: `${label}: missing`,
    kind: "missing",
    ...measureAmong(analysis, applies, adjusted).differences(missing),
    varianceRatio: none,
    distance: none,
    ...tellingOf(analysis, applies, missing, adjusted.matched?.weight),
  };
}

function productBalance(
  analysis: Analysis,
  a: StudyCovariate,
  b: StudyCovariate,
  adjusted: AdjustedWeights,
): CovariateBalance {
  const n = analysis.n;
  const both = new Uint8Array(n);
  for (let i = 0; i < n; i++) both[i] = a.present[i]! & b.present[i]!;
  const [meanA, meanB] = [meanWhere(a.values, both), meanWhere(b.values, both)];
  const product = new Float64Array(n);
  for (let i = 0; i < n; i++) product[i] = (a.values[i]! - meanA) * (b.values[i]! - meanB);
  return {
    covariate: a === b ? a.column : `${a.column} * ${b.column}`,
    label: a === b ? `${a.label}, squared` : `${a.label} × ${b.label}`,
    kind: a === b ? "square" : "product",
    ...measureAmong(analysis, both, adjusted).differences(product),
    varianceRatio: none,
    distance: none,
    coarse: false,
  };
}

/** Rows under one weighting. */
interface Weighted {
  treated: Uint8Array;
  weight: Float64Array | undefined;
}

/** Measures of some rows, before, after matching and after weighting. */
function measureAmong(analysis: Analysis, among: Uint8Array, adjusted: AdjustedWeights) {
  const rows = new Int32Array(among.reduce((sum, is) => sum + (is ? 1 : 0), 0));
  for (let i = 0, k = 0; i < among.length; i++) if (among[i]) rows[k++] = i;
  const pick = (column: Float64Array) =>
    rows.length === column.length ? column : valuesAt(column, rows);
  const treated = new Uint8Array(rows.length);
  for (let i = 0; i < rows.length; i++) treated[i] = analysis.treated[rows[i]!]!;
  const { matched, weighted } = adjusted;
  const given = [undefined, matched && pick(matched.weight), weighted && pick(weighted.weight)];
  const asked = given.filter((weight, k) => k === 0 || weight !== undefined);
  const placed = (values: (number | null)[]): BeforeAfter => ({
    before: values[0]!,
    afterMatching: matched ? values[1]! : null,
    afterWeighting: weighted ? values.at(-1)! : null,
  });
  // with fewer than two rows that count in a group there is no spread to measure
  let enough: boolean[] | undefined;
  const hasEnough = () =>
    enough ??= asked.map((weight) => {
      const counts = [0, 0];
      for (let i = 0; i < treated.length; i++) {
        if (!weight || weight[i]! > 0) counts[treated[i]!]!++;
      }
      return Math.min(...counts) >= 2;
    });
  return {
    each(measure: (data: Weighted, column: Float64Array) => number | null, values: Float64Array) {
      const column = pick(values);
      return placed(
        asked.map((weight, k) => hasEnough()[k] ? measure({ treated, weight }, column) : null),
      );
    },
    differences: (values: Float64Array) =>
      placed(standardizedDifferences({ treated, covariate: pick(values) }, asked)),
    distances: (values: Float64Array) => {
      const distances = distributionDistances({ treated, covariate: pick(values) }, asked);
      return placed(distances.map((distance, k) => hasEnough()[k] ? distance : null));
    },
  };
}

function meanWhere(values: Float64Array, where: Uint8Array): number {
  let sum = 0;
  let count = 0;
  for (let i = 0; i < values.length; i++) {
    if (!where[i]) continue;
    sum += values[i]!;
    count++;
  }
  return sum / count;
}

/** Whether all rows that count have one value. */
function isConstant(column: Float64Array, weight?: Float64Array): boolean {
  const counts = (i: number) => !weight || weight[i]! > 0;
  const first = column.find((_, i) => counts(i));
  return column.every((value, i) => !counts(i) || value === first);
}
