import {
  checkConfidence,
  checkDataColumns,
  checkNumber,
  checkWhole,
  DataError,
  distributions,
  type Labels,
  multiplyAround,
  numberColumn,
  type Numbers,
  type Test,
  twoSidedP,
} from "../../numerics/mod.ts";
import type { LogisticTerm } from "./logistic.ts";
import { logistic } from "./logistic-kernel.ts";
import { ordinalPass, ordinalScoreProducts } from "./ordinal-kernel.ts";
import { climbOrdinal, scaledOrdinal } from "./ordinal-newton.ts";
import { linearSum, modelColumns } from "./model-columns.ts";

/** What {@link ordinalRegression} needs. */
export interface OrdinalData {
  /** Ordered levels, such as grades 0 to 4; at least two different ones. */
  outcome: Numbers;
  /** Named columns, each finite. */
  covariates: Record<string, Numbers>;
  /** Case weights, above 0. */
  weight?: Numbers;
  /** Rows that belong together (echocardiograms of one patient), for the robust variance. */
  cluster?: Labels;
}

/** The constant of one cut: log odds of this level or a higher one where all covariates are 0. */
export interface OrdinalCut {
  /** The level itself. */
  level: number;
  /** Change of the linear predictor per unit of the covariate. */
  coefficient: number;
  /** Standard error of the estimate. */
  standardError: number;
  /** From the sandwich variance, where weights or clusters were given. */
  robustStandardError?: number;
}

/** A fitted cumulative-logit regression. */
export interface OrdinalFit {
  /** Rows. */
  n: number;
  /** Levels that occur, ascending, and how many rows have each. */
  levels: number[];
  /** Rows of each level. */
  counts: number[];
  /** One a level but the lowest, coefficients descending. */
  cuts: OrdinalCut[];
  /** The covariates kept. `oddsRatio` above 1: higher levels. */
  terms: LogisticTerm[];
  /** Of cuts, then terms, row-major. */
  covariance: Float64Array;
  /** Sandwich variance, where weights or clusters were given; row-major. */
  robustCovariance?: Float64Array;
  /** At the estimate. */
  logLikelihood: number;
  /** Without covariates. */
  logLikelihoodNull: number;
  /** Against the cuts alone; takes rows as independent and weights as counts. */
  likelihoodRatio: Test;
  /** Steps that the search took. */
  iterations: number;
  /** Whether the search for the estimate came to its end. */
  converged: boolean;
  /** Why it did not converge. */
  reason?: string;
  /** Covariates whose coefficients run off to infinity. */
  separated: string[];
  /** Covariates left out: constant, or linear combinations of earlier ones. */
  dropped: string[];
  /** Probability of each level, in their order, for other rows with the same covariates. */
  probabilitiesFor(covariates: Record<string, Numbers>): Float64Array[];
}

/**
 * Cumulative-logit (proportional odds) regression of an ordered outcome by maximum likelihood.
 *
 * log(P(Y >= level) / P(Y < level)) = constant of the level + sum of coefficient * covariate: one
 * odds ratio a covariate, whatever the level at which the grades are cut. Whether one is enough is
 * for the reader to judge by {@link logisticRegression} at each cut. With two levels it *is*
 * logistic regression.
 *
 * Newton's method from the levels' own shares, halving steps that lower the likelihood, which is
 * concave. Variance: inverse of the observed information; with `weight` or `cluster` also the
 * sandwich of scores summed within clusters, without a small-sample factor, which limits and p
 * values then use: grades of one patient at several visits are repeated measures, taken here with
 * working independence. Separation, constant and collinear covariates as in logistic regression.
 *
 * Cost: O(n (p + 1)^2) an iteration, usually 4 to 7. The columns are not copied if Float64Array.
 *
 * @example
 * ```ts
 * import { ordinalRegression } from "mitral";
 * const grade = [0, 1, 2, 1, 0, 3, 2, 0];
 * const repair = [1, 1, 0, 0, 1, 0, 1, 0];
 * const years = [1, 2, 1, 2, 3, 3, 1, 2];
 * const patient = [1, 1, 2, 2, 3, 3, 4, 4];
 * const fit = ordinalRegression({ outcome: grade, covariates: { repair, years }, cluster: patient });
 * fit.terms[0]?.oddsRatio; // odds of a higher grade after repair against replacement
 * ```
 * @param options.confidence Level of the limits, 0.95.
 * @param options.tolerance Length of the last step, in standard errors, 1e-6.
 * @param options.maxIterations 50.
 * @throws {DataError} on values that are not finite, one level only, or lengths that differ.
 * @see McCullagh (1980) JRSS B 42:109-142; robust variance: Liang & Zeger
 * (1986) Biometrika 73:13-22.
 */
export function ordinalRegression(
  data: OrdinalData,
  options: { confidence?: number; tolerance?: number; maxIterations?: number } = {},
): OrdinalFit {
  checkDataColumns("ordinalRegression", data, ["outcome", "covariates", "weight", "cluster"]);
  const confidence = checkConfidence(options.confidence);
  const small = (t: number) => t > 0 && t < 1;
  const tolerance = checkNumber("tolerance", options.tolerance ?? 1e-6, small, "between 0 and 1");
  const maxIterations = checkWhole("maxIterations", options.maxIterations ?? 50, 1);
  const outcome = numberColumn("outcome", data.outcome);
  const n = outcome.length;
  const { names, columns, weight, cluster } = modelColumns(n, data);
  const levels = Array.from(new Set(outcome)).sort((a, b) => a - b);
  const top = levels.length - 1;
  if (top < 1) throw new DataError("outcome", "of at least two levels", outcome[0], 0);
  const place = new Map(levels.map((level, k) => [level, k]));
  const level = Int32Array.from(outcome, (value) => place.get(value) ?? 0);

  const { rows, kept, start } = scaledOrdinal({ n, top, level, weight }, columns);
  const atStart = ordinalPass(rows, start);
  const climbed = climbOrdinal(rows, start, { tolerance, maxIterations });
  const p = kept.length;
  const m = top + p;

  // back to the covariates as given
  const back = new Float64Array(m * m);
  for (let k = 0; k < top; k++) {
    back[k * m + k] = 1;
    for (let a = 0; a < p; a++) back[k * m + top + a] = -rows.centre[a]! * rows.scale[a]!;
  }
  for (let a = 0; a < p; a++) back[(top + a) * m + top + a] = rows.scale[a]!;
  const coefficients = new Float64Array(m);
  for (let j = 0; j < m; j++) {
    for (let k = 0; k < m; k++) coefficients[j]! += back[j * m + k]! * climbed.beta[k]!;
  }
  const covariance = multiplyAround(back, climbed.inverse, m);
  let robustCovariance: Float64Array | undefined;
  if (weight || cluster) {
    const meat = ordinalScoreProducts(
      rows,
      climbed.beta,
      cluster && { codes: cluster.codes, count: cluster.labels.length },
    );
    robustCovariance = multiplyAround(back, multiplyAround(climbed.inverse, meat, m), m);
  }
  const quantile = distributions.normalUpperQuantile((1 - confidence) / 2);
  const errorsOf = (j: number) => ({
    standardError: Math.sqrt(covariance[j * m + j]!),
    ...(robustCovariance && { robustStandardError: Math.sqrt(robustCovariance[j * m + j]!) }),
  });
  const counts = levels.map((_, k) => level.reduce((sum, own) => sum + (own === k ? 1 : 0), 0));
  const gain = Math.max(0, 2 * (climbed.logLikelihood - atStart.logLikelihood));
  return {
    n,
    levels,
    counts,
    cuts: levels.slice(1).map((cut, k) => ({
      level: cut,
      coefficient: coefficients[k]!,
      ...errorsOf(k),
    })),
    terms: kept.map((j, a) => {
      const coefficient = coefficients[top + a]!;
      const errors = errorsOf(top + a);
      const error = errors.robustStandardError ?? errors.standardError;
      return {
        name: names[j]!,
        coefficient,
        ...errors,
        oddsRatio: Math.exp(coefficient),
        lower: Math.exp(coefficient - quantile * error),
        upper: Math.exp(coefficient + quantile * error),
        z: coefficient / error,
        pValue: twoSidedP(coefficient / error),
      };
    }),
    covariance,
    ...(robustCovariance && { robustCovariance }),
    logLikelihood: climbed.logLikelihood,
    logLikelihoodNull: atStart.logLikelihood,
    likelihoodRatio: {
      statistic: gain,
      degreesOfFreedom: p,
      pValue: p === 0 ? 1 : distributions.chiSquareUpper(gain, p),
    },
    iterations: climbed.iterations,
    converged: climbed.reason === undefined,
    ...(climbed.reason !== undefined && { reason: climbed.reason }),
    separated: climbed.separated.map((a) => names[kept[a]!]!),
    dropped: names.filter((_, j) => !kept.includes(j)),
    probabilitiesFor(covariates) {
      const terms = kept.map((j, a) => ({
        name: names[j]!,
        coefficient: coefficients[top + a]!,
      }));
      const eta = linearSum(0, terms, covariates);
      const atLeast = (k: number, i: number) =>
        k === 0 ? 1 : k > top ? 0 : logistic(coefficients[k - 1]! + eta[i]!);
      return levels.map((_, k) => eta.map((_, i) => atLeast(k, i) - atLeast(k + 1, i)));
    },
  };
}
