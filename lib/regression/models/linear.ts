import {
  checkChoice,
  checkConfidence,
  checkDataColumns,
  DataError,
  distributions,
  dot,
  type Labels,
  numberColumn,
  type Numbers,
  quadraticForm,
} from "../../numerics/mod.ts";
import { backTransformed, orthogonalize, solveTriangle } from "./orthogonal.ts";
import { modelColumns } from "./model-columns.ts";

/** What {@link linearRegression} needs. */
export interface LinearData {
  /** What is explained, finite. */
  outcome: Numbers;
  /** Named columns, each finite. */
  covariates: Record<string, Numbers>;
  /** Case weights, above 0. */
  weight?: Numbers;
  /** Rows that belong together (patients, surgeons), for the robust variance. */
  cluster?: Labels;
}

/** One coefficient, in units of the outcome for one more unit of the covariate. */
export interface LinearTerm {
  /** Name as the data have it. */
  name: string;
  /** Change of the linear predictor per unit of the covariate. */
  coefficient: number;
  /** Standard error of the estimate. */
  standardError: number;
  /** Lower limit. */
  lower: number;
  /** Upper limit. */
  upper: number;
  /** Coefficient over its standard error. */
  t: number;
  /** Two-sided p value. */
  pValue: number;
}

/** Means that a model predicts, with the limits of each. */
export interface PredictedMeans {
  /** The estimates. */
  estimate: Float64Array;
  /** Standard errors of the estimates. */
  standardError: Float64Array;
  /** Lower limits. */
  lower: Float64Array;
  /** Upper limits. */
  upper: Float64Array;
}

/** A fitted linear regression. */
export interface LinearFit {
  /** Rows. */
  n: number;
  /** "(constant)" first, then the covariates kept, in the order given. */
  terms: LinearTerm[];
  /** Of the coefficients of `terms`, row-major, by the errors asked for. */
  covariance: Float64Array;
  /** Of the t distribution behind limits and p values. */
  degreesOfFreedom: number;
  /** Standard deviation of the residuals. */
  residualDeviation: number;
  /** Share of the outcome's variance that the covariates explain. */
  explained: number;
  /** Predicted value of each row. */
  fitted: Float64Array;
  /** Outcome less predicted value. */
  residuals: Float64Array;
  /** Covariates left out: constant, or linear combinations of earlier ones. */
  dropped: string[];
  /** Mean outcome at other values of the same covariates, with limits of the mean. */
  meanFor(covariates: Record<string, Numbers>): PredictedMeans;
}

/**
 * Linear regression by least squares, with errors that do not need equal variances.
 *
 * Columns are made orthonormal, which keeps the digits of splines. Standard errors: "robust", each
 * squared residual divided by (1 - leverage)^2, which stays close to its level in small samples
 * (MacKinnon and White 1985; Long and Ervin 2000); with `cluster`, sums of residuals over clusters,
 * times G/(G - 1) * (n - 1)/(n - p); or "equal-variance". Limits by Student's t with n - p degrees
 * of freedom, G - 1 with clusters. A row that alone decides a coefficient (leverage 1) is given the
 * model's residual deviation.
 *
 * Cost O(n p^2).
 *
 * @example Change of ejection fraction by its value before
 * ```ts
 * import { linearRegression } from "mitral";
 *
 * const before = [62, 55, 48, 66, 59];
 * const fit = linearRegression({ outcome: [-9, -6, -3, -12, -7], covariates: { before } });
 * fit.meanFor({ before: [60] }).lower[0];
 * ```
 * @param options.errors "robust", or "equal-variance".
 * @param options.confidence 0.95.
 * @throws {DataError} on values that are not finite, lengths that differ, or no more
 * rows than terms.
 * @see White (1980) Econometrica 48:817-838; MacKinnon & White (1985) J Econometrics 29:305-325;
 * Long & Ervin (2000) Am Stat 54:217-224; clusters: Liang & Zeger (1986) Biometrika 73:13-22.
 */
export function linearRegression(
  data: LinearData,
  options: { errors?: "robust" | "equal-variance"; confidence?: number } = {},
): LinearFit {
  checkDataColumns("linearRegression", data, ["outcome", "covariates", "weight", "cluster"]);
  const confidence = checkConfidence(options.confidence);
  const errors = checkChoice("errors", options.errors ?? "robust", ["robust", "equal-variance"]);
  const outcome = numberColumn("outcome", data.outcome);
  const n = outcome.length;
  const { names, columns, weight, cluster } = modelColumns(n, data);
  if (cluster && cluster.labels.length < 2) {
    throw new DataError("cluster", "at least two clusters", cluster.labels[0]);
  }

  const root = weight ? weight.map(Math.sqrt) : undefined;
  const scaled = (column: Float64Array) => root ? column.map((x, i) => x * root[i]!) : column;
  const design = [{ values: new Float64Array(n).fill(1), centre: 0 }, ...columns.map(centred)];
  const { basis, triangle, kept } = orthogonalize(design.map(({ values }) => scaled(values)));
  const q = kept.length;
  if (n <= q) throw new DataError("outcome", `more than ${q} rows, the model's terms`, n);
  const target = scaled(outcome);
  const inBasis = Float64Array.from(basis, (direction) => dot(direction, target));
  const residuals = new Float64Array(n); // on the scale of the weights
  const leverage = new Float64Array(n);
  for (let i = 0; i < n; i++) {
    let fitted = 0;
    for (let j = 0; j < q; j++) {
      fitted += basis[j]![i]! * inBasis[j]!;
      leverage[i]! += basis[j]![i]! ** 2;
    }
    residuals[i] = target[i]! - fitted;
  }
  const deviation = Math.sqrt(dot(residuals, residuals) / (n - q));
  const middle = middleOf({ basis, residuals, leverage, deviation, cluster, errors });
  const degreesOfFreedom = cluster ? cluster.labels.length - 1 : n - q;
  const beta = solveTriangle(triangle, inBasis);
  const spread = backTransformed(triangle, middle);
  const centres = kept.map((j) => design[j]!.centre);
  const { coefficients, covariance } = uncentred(beta, spread, centres);

  const t = distributions.studentUpperQuantile((1 - confidence) / 2, degreesOfFreedom);
  const fitted = outcome.map((y, i) => y - residuals[i]! / (root ? root[i]! : 1));
  const mean = weight ? dot(outcome, weight) / sum(weight) : sum(outcome) / n;
  const about = scaled(outcome.map((y) => y - mean));
  const termNames = kept.map((j) => j === 0 ? "(constant)" : names[j - 1]!);
  return {
    n,
    terms: termNames.map((name, j) => {
      const coefficient = coefficients[j]!;
      const standardError = Math.sqrt(covariance[j * q + j]!);
      return {
        name,
        coefficient,
        standardError,
        lower: coefficient - t * standardError,
        upper: coefficient + t * standardError,
        t: coefficient / standardError,
        pValue: distributions.studentTwoSided(coefficient / standardError, degreesOfFreedom),
      };
    }),
    covariance,
    degreesOfFreedom,
    residualDeviation: deviation,
    explained: 1 - dot(residuals, residuals) / dot(about, about),
    fitted,
    residuals: outcome.map((y, i) => y - fitted[i]!),
    dropped: names.filter((_, j) => !kept.includes(j + 1)),
    meanFor(covariates) {
      const length = Object.values(covariates)[0]?.length ?? 0;
      const given = termNames.slice(1).map((name) => {
        const values = covariates[name];
        if (!values) throw new DataError(`covariates.${name}`, "a column (the model uses it)");
        return numberColumn(`covariates.${name}`, values, { length });
      });
      const estimate = new Float64Array(length);
      const standardError = new Float64Array(length);
      for (let i = 0; i < length; i++) {
        // about the centres, where constant and slopes are least entangled
        const row = Float64Array.from(
          centres,
          (centre, j) => j === 0 ? 1 : given[j - 1]![i]! - centre,
        );
        estimate[i] = dot(row, beta);
        standardError[i] = Math.sqrt(quadraticForm(row, spread));
      }
      return {
        estimate,
        standardError,
        lower: estimate.map((value, i) => value - t * standardError[i]!),
        upper: estimate.map((value, i) => value + t * standardError[i]!),
      };
    },
  };
}

/** The middle of the sandwich, in terms of the orthonormal columns. */
function middleOf(
  { basis, residuals, leverage, deviation, cluster, errors }: {
    basis: Float64Array[];
    residuals: Float64Array;
    leverage: Float64Array;
    deviation: number;
    cluster: { codes: Int32Array; labels: (string | number)[] } | undefined;
    errors: "robust" | "equal-variance";
  },
): Float64Array {
  const q = basis.length;
  const n = residuals.length;
  const middle = new Float64Array(q * q);
  if (!cluster && errors === "equal-variance") {
    for (let j = 0; j < q; j++) middle[j * q + j] = deviation ** 2;
    return middle;
  }
  const groups = cluster ? cluster.labels.length : n;
  const scores = new Float64Array(groups * q);
  for (let i = 0; i < n; i++) {
    const left = 1 - leverage[i]!;
    const residual = cluster ? residuals[i]! : left > 1e-10 ? residuals[i]! / left : deviation;
    const base = (cluster ? cluster.codes[i]! : i) * q;
    for (let j = 0; j < q; j++) scores[base + j]! += residual * basis[j]![i]!;
  }
  const factor = cluster ? groups / (groups - 1) * (n - 1) / (n - q) : 1;
  for (let g = 0; g < groups; g++) {
    for (let j = 0; j < q; j++) {
      const a = factor * scores[g * q + j]!;
      for (let k = 0; k < q; k++) middle[j * q + k]! += a * scores[g * q + k]!;
    }
  }
  return middle;
}

function centred(column: Float64Array): { values: Float64Array; centre: number } {
  const centre = sum(column) / column.length;
  return { values: column.map((x) => x - centre), centre };
}

/** Coefficients and covariance for columns as given, from those for centred ones. */
function uncentred(
  beta: Float64Array,
  spread: Float64Array,
  centres: number[],
): { coefficients: Float64Array; covariance: Float64Array } {
  const q = beta.length;
  const coefficients = beta.slice();
  const covariance = spread.slice();
  const back = Float64Array.from(centres, (centre, j) => j === 0 ? 1 : -centre);
  coefficients[0] = dot(back, beta);
  for (let j = 1; j < q; j++) {
    let shared = 0;
    for (let k = 0; k < q; k++) shared += back[k]! * spread[k * q + j]!;
    covariance[j] = covariance[j * q] = shared;
  }
  covariance[0] = quadraticForm(back, spread);
  return { coefficients, covariance };
}

function sum(values: Float64Array): number {
  return values.reduce((total, value) => total + value, 0);
}
