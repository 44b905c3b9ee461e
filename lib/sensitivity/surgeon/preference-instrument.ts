import { standardizedDifference } from "../../balance/alike/mod.ts";
import {
  binaryColumn,
  checkConfidence,
  covariateColumns,
  DataError,
  distributions,
  groupColumn,
  type Interval,
  type Labels,
  meanOf,
  numberColumn,
  type Numbers,
  quartilesOf,
  spreadOf,
} from "../../numerics/mod.ts";
import { clusteredLeastSquares, predicted } from "./two-stage.ts";
import { formatNumber } from "../../words/mod.ts";

/** The surgeon's preference as an instrument: its strength, its balance, and what it gives. */
export interface PreferenceInstrument {
  /** Rows. */
  n: number;
  /** How many surgeons. */
  surgeons: number;
  /** The surgeon's share of repairs among all other patients of theirs, a row. */
  preference: Float64Array;
  /** First stage, over surgeons: by how much the chance of repair rises from preference 0 to 1. */
  strength: { coefficient: number; standardError: number; fStatistic: number; partialR2: number };
  /**
   * Standardised differences between patients of surgeons above and below the median preference.
   */
  balance: { name: string; difference: number }[];
  /** Two-stage least squares, errors over surgeons. */
  difference: Interval & { pValue: number };
  /** Least squares on the treatment itself, with the same covariates. */
  ordinary: Interval & { pValue: number };
  /** Why it should not be used; empty where nothing measured speaks against it. */
  against: string[];
}

// An instrument with a smaller F leaves an estimate that is biased and of unsound limits.
const weakBelow = 10;
// Errors over fewer clusters than this are not to be trusted (common practice, no source).
const fewSurgeons = 10;
const unlike = 0.1;

/**
 * Which surgeon a patient came to as a natural experiment: two-stage least squares of an outcome on
 * repair, with the surgeon's preference among all other patients of theirs as instrument.
 *
 * Right for patients whose operation depended on whom they came to, if patients come to surgeons
 * without regard to their risk, if surgeons differ in their results through the choice of operation
 * alone, and if none repairs a patient whom a keener one would replace. The second is rarely so:
 * one who repairs often may repair better. What of this can be seen is said in `against`: weakness,
 * few surgeons, and covariates that differ between patients of surgeons of high and low preference.
 *
 * @param data.outcome Any number; for events by a time with censoring, {@link pseudoValues}.
 * @param data.covariates Held constant in both stages.
 * @example
 * ```ts ignore
 * import { preferenceInstrument, pseudoValues } from "mitral";
 * const treated = [0, 1, 0, 1, 1, 0, 0, 1, 0, 1, 0, 1];
 * preferenceInstrument({ outcome: pseudoValues(death, { time: 5 }), treated, surgeon,
 *   covariates: design.covariates }).against;
 * ```
 * @throws {DataError} unless at least two surgeons have two patients each.
 * @see Brookhart & Schneeweiss (2007) Int J Biostat 3:14; weak instruments: Staiger & Stock (1997)
 * Econometrica 65:557-586.
 */
export function preferenceInstrument(
  data: {
    outcome: Numbers;
    treated: Numbers;
    surgeon: Labels;
    covariates?: Record<string, Numbers>;
  },
  options: { confidence?: number } = {},
): PreferenceInstrument {
  const tail = (1 - checkConfidence(options.confidence)) / 2;
  const all = numberColumn("outcome", data.outcome);
  const everyTreated = binaryColumn("treated", data.treated, all.length);
  const group = groupColumn("surgeon", data.surgeon, all.length);
  const counts = new Float64Array(group.labels.length);
  const repairs = new Float64Array(group.labels.length);
  group.codes.forEach((code, i) => {
    counts[code]!++;
    repairs[code]! += everyTreated[i]!;
  });
  // a surgeon's only patient tells nothing of a preference
  const rows = Int32Array.from({ length: all.length }, (_, i) => i)
    .filter((i) => counts[group.codes[i]!]! >= 2);
  const place = new Map(
    [...new Set(Array.from(rows, (i) => group.codes[i]!))].map((c, k) => [c, k]),
  );
  const clusters = place.size;
  if (clusters < 2) {
    throw new DataError("surgeon", "of at least two surgeons with two patients each", clusters);
  }
  const codes = Int32Array.from(rows, (i) => place.get(group.codes[i]!)!);
  const pick = (column: ArrayLike<number>) => Float64Array.from(rows, (i) => column[i]!);
  const outcome = pick(all);
  const treated = pick(everyTreated);
  const preference = Float64Array.from(rows, (i) => {
    const code = group.codes[i]!;
    return (repairs[code]! - everyTreated[i]!) / (counts[code]! - 1);
  });
  const given = data.covariates && Object.keys(data.covariates).length > 0
    ? covariateColumns(data.covariates, all.length)
    : { names: [], columns: [] };
  const covariates = given.columns.map((column) => scaled(pick(column)));
  const n = rows.length;
  const constant = new Float64Array(n).fill(1);
  const others = [constant, ...covariates.filter((column) => column.some((x) => x !== 0))];
  const cluster = { codes, clusters };

  const first = clusteredLeastSquares(treated, [preference, ...others], cluster);
  const coefficient = first.coefficients[0]!;
  const firstError = Math.sqrt(first.covariance[0]!);
  const without = clusteredLeastSquares(treated, others, cluster);
  const squares = (values: Float64Array) => values.reduce((sum, x) => sum + x * x, 0);
  const partialR2 = 1 - squares(first.residuals) / squares(without.residuals);
  const asPredicted = predicted([preference, ...others], first.coefficients);
  const second = clusteredLeastSquares(
    outcome,
    [asPredicted, ...others],
    cluster,
    [treated, ...others],
  );
  const ordinary = clusteredLeastSquares(outcome, [treated, ...others], cluster);
  const quantile = distributions.studentUpperQuantile(tail, clusters - 1);
  const effectOf = (fit: { coefficients: Float64Array; covariance: Float64Array }) => {
    const estimate = fit.coefficients[0]!;
    const standardError = Math.sqrt(fit.covariance[0]!);
    return {
      estimate,
      standardError,
      lower: estimate - quantile * standardError,
      upper: estimate + quantile * standardError,
      pValue: distributions.studentTwoSided(estimate / standardError, clusters - 1),
    };
  };
  const median = quartilesOf(preference).median;
  const high = Uint8Array.from(preference, (value) => value > median ? 1 : 0);
  const both = high.includes(0) && high.includes(1);
  const balance = both
    ? given.columns.map((column, k) => ({
      name: given.names[k]!,
      difference: standardizedDifference({ treated: high, covariate: pick(column) }),
    }))
    : [];
  const fStatistic = (coefficient / firstError) ** 2;
  const worst = balance.filter(({ difference }) => Math.abs(difference) > unlike);
  const against = [
    ...(fStatistic < weakBelow
      ? [`It is weak: F is ${formatNumber(fStatistic, { digits: 1 })}, below ${weakBelow}.`]
      : []),
    ...(coefficient <= 0
      ? ["Patients of surgeons with more repairs were not repaired more often."]
      : []),
    ...(clusters < fewSurgeons
      ? [`There are ${clusters} surgeons, too few for limits over surgeons to be trusted.`]
      : []),
    ...(worst.length > 0
      ? [
        `Patients of surgeons who repair more differ in ${worst.length} of ${balance.length} ` +
        "columns by more than a tenth of a standard deviation.",
      ]
      : []),
  ];
  return {
    n,
    surgeons: clusters,
    preference: expand(preference, rows, all.length),
    strength: { coefficient, standardError: firstError, fStatistic, partialR2 },
    balance,
    difference: effectOf(second),
    ordinary: effectOf(ordinary),
    against,
  };
}

function scaled(column: Float64Array): Float64Array {
  const [mean, spread] = [meanOf(column), spreadOf(column)];
  return spread > 1e-10 * Math.abs(mean)
    ? column.map((x) => (x - mean) / spread)
    : new Float64Array(column.length);
}

/** NaN for rows of surgeons with one patient. */
function expand(values: Float64Array, rows: Int32Array, n: number): Float64Array {
  const every = new Float64Array(n).fill(NaN);
  rows.forEach((row, k) => every[row] = values[k]!);
  return every;
}
