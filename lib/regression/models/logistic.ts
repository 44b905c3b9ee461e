import {
  binaryColumn,
  checkConfidence,
  checkDataColumns,
  checkNumber,
  checkWhole,
  DataError,
  distributions,
  type Labels,
  multiplyAround,
  type Numbers,
  type Test,
  twoSidedP,
} from "../../numerics/mod.ts";
import { logistic, type LogisticRows, scoreProducts } from "./logistic-kernel.ts";
import { climb, scaledRows } from "./logistic-newton.ts";
import { linearSum, modelColumns } from "./model-columns.ts";

/** What {@link logisticRegression} needs. */
export interface LogisticData {
  /** 0 or 1, both present. */
  outcome: Numbers;
  /** Named columns, each finite. */
  covariates: Record<string, Numbers>;
  /** Case weights, above 0. */
  weight?: Numbers;
  /** Rows that belong together (pairs, surgeons), for the robust variance. */
  cluster?: Labels;
}

/** One coefficient. Limits and p value use the robust standard error where there is one. */
export interface LogisticTerm {
  /** Name as the data have it. */
  name: string;
  /** Change of the linear predictor per unit of the covariate. */
  coefficient: number;
  /** Standard error of the estimate. */
  standardError: number;
  /** From the sandwich variance, where weights or clusters were given. */
  robustStandardError?: number;
  /** exp(coefficient). */
  oddsRatio: number;
  /** Limits of the odds ratio. */
  lower: number;
  /** Upper limit. */
  upper: number;
  /** Coefficient over its standard error. */
  z: number;
  /** Two-sided p value. */
  pValue: number;
}

/** A fitted logistic regression. */
export interface LogisticFit {
  /** Rows. */
  n: number;
  /** Rows with outcome 1. */
  events: number;
  /** "(constant)" first, then the covariates kept, in the order given. */
  terms: LogisticTerm[];
  /** Of the coefficients of `terms`, row-major. */
  covariance: Float64Array;
  /** Sandwich variance, where weights or clusters were given; row-major. */
  robustCovariance?: Float64Array;
  /** At the estimate. */
  logLikelihood: number;
  /** Without covariates. */
  logLikelihoodNull: number;
  /** -2 times the log likelihood. */
  deviance: number;
  /** Against the constant alone; takes rows as independent and weights as counts. */
  likelihoodRatio: Test;
  /** Predicted value of each row. */
  fitted: Float64Array;
  /** Log odds of each row. */
  linearPredictor: Float64Array;
  /** Steps that the search took. */
  iterations: number;
  /** Whether the search for the estimate came to its end. */
  converged: boolean;
  /** Why it did not converge. */
  reason?: string;
  /** Covariates whose coefficients run off to infinity: together they tell some outcomes apart. */
  separated: string[];
  /** Covariates left out: constant, or linear combinations of earlier ones. */
  dropped: string[];
  /** Fitted probabilities for other rows with the same covariates. */
  probabilityFor(covariates: Record<string, Numbers>): Float64Array;
}

/**
 * Logistic regression by maximum likelihood.
 *
 * log(p / (1 - p)) = constant + sum of coefficient * covariate. Newton's method on centred and
 * scaled columns, halving a step that lowers the likelihood, up to a last step shorter than
 * `tolerance` standard errors. Variance: inverse information as of that step; with `weight` or
 * `cluster` also the robust (sandwich) variance, without a small-sample factor, which limits and
 * p values then use.
 *
 * Separation is proved, not guessed: the fit stops once a direction is found that takes every row
 * towards its own outcome, says so in `reason`, and names the covariates that move in `separated`;
 * their coefficients are then as far as the fit went, not estimates. Covariates that are constant
 * or linear combinations of earlier ones are left out and named in `dropped`.
 *
 * Cost: O(n p^2) an iteration, usually 5 to 8; the columns are not copied if they are Float64Array.
 *
 * @example
 * ```ts
 * import { logisticRegression } from "mitral";
 * const outcome = [0, 0, 1, 0, 1, 1];
 * const fit = logisticRegression({ outcome, covariates: { dose: [1, 2, 2, 3, 3, 4] } });
 * fit.terms[1]?.oddsRatio; // odds ratio for one more unit of dose
 * ```
 * @param options.confidence Level of the limits, 0.95.
 * @param options.tolerance Length of the last step, in standard errors, 1e-6.
 * @param options.maxIterations 50.
 * @param options.from A fit of the same covariates to similar rows: the search begins where it
 * ended, which saves half of the iterations and does not change where it leads.
 * @throws {DataError} on values that are not finite, outcomes all alike, or lengths that differ.
 * @see McCullagh & Nelder (1989) Generalized Linear Models, 2nd ed., ch. 4; separation: Albert &
 * Anderson (1984) Biometrika 71:1-10; robust variance: White (1982)
 * Econometrica 50:1-25, clustered:
 * Liang & Zeger (1986) Biometrika 73:13-22.
 */
export function logisticRegression(
  data: LogisticData,
  options: {
    confidence?: number;
    tolerance?: number;
    maxIterations?: number;
    from?: Pick<LogisticFit, "terms" | "converged">;
  } = {},
): LogisticFit {
  checkDataColumns("logisticRegression", data, ["outcome", "covariates", "weight", "cluster"]);
  const confidence = checkConfidence(options.confidence);
  const tolerance = checkNumber(
    "tolerance",
    options.tolerance ?? 1e-6,
    (t) => t > 0 && t < 1,
    "between 0 and 1",
  );
  const maxIterations = checkWhole("maxIterations", options.maxIterations ?? 50, 1);
  const outcome = binaryColumn("outcome", data.outcome);
  const n = outcome.length;
  const { names, columns, weight, cluster } = modelColumns(n, data);

  let events = 0;
  let total = 0;
  let totalEvents = 0;
  for (let i = 0; i < n; i++) {
    const w = weight ? weight[i]! : 1;
    total += w;
    if (outcome[i] === 1) {
      events++;
      totalEvents += w;
    }
  }
  if (events === 0 || events === n) {
    throw new DataError("outcome", "0 in some rows and 1 in others", outcome[0], 0);
  }

  const { rows, kept, atZero } = scaledRows({ n, columns, outcome, weight });
  const from = options.from && scaledCoefficients(rows, options.from, kept.map((j) => names[j]!));
  const climbed = climb(rows, atZero, { tolerance, maxIterations, ...(from && { from }) });
  const { predictor } = climbed;

  // back to the covariates as given: coefficient = A * scaled coefficient
  const q = kept.length + 1;
  const back = new Float64Array(q * q);
  back[0] = 1;
  for (let j = 1; j < q; j++) {
    back[j] = -rows.centre[j - 1]! * rows.scale[j - 1]!;
    back[j * q + j] = rows.scale[j - 1]!;
  }
  const coefficients = new Float64Array(q);
  for (let j = 0; j < q; j++) {
    for (let k = 0; k < q; k++) coefficients[j]! += back[j * q + k]! * climbed.beta[k]!;
  }
  const covariance = multiplyAround(back, climbed.inverse, q);
  let robustCovariance: Float64Array | undefined;
  if (weight || cluster) {
    const clusters = cluster ? cluster.labels.length : n;
    const meat = scoreProducts(rows, predictor, cluster?.codes, clusters);
    robustCovariance = multiplyAround(back, multiplyAround(climbed.inverse, meat, q), q);
  }

  const termNames = ["(constant)", ...kept.map((j) => names[j]!)];
  const quantile = distributions.normalUpperQuantile((1 - confidence) / 2);
  const terms = termNames.map((name, j): LogisticTerm => {
    const coefficient = coefficients[j]!;
    const standardError = Math.sqrt(covariance[j * q + j]!);
    const robust = robustCovariance && Math.sqrt(robustCovariance[j * q + j]!);
    const known = robust ?? standardError;
    // a search that ended in a singular matrix has no errors to tell
    const error = known > 0 ? known : NaN;
    const z = coefficient / error;
    return {
      name,
      coefficient,
      standardError,
      ...(robust === undefined ? {} : { robustStandardError: robust }),
      oddsRatio: Math.exp(coefficient),
      lower: Math.exp(coefficient - quantile * error),
      upper: Math.exp(coefficient + quantile * error),
      z,
      pValue: twoSidedP(z),
    };
  });

  const fitted = new Float64Array(n);
  for (let i = 0; i < n; i++) fitted[i] = logistic(predictor[i]!);
  const share = totalEvents / total;
  const logLikelihoodNull = totalEvents * Math.log(share) +
    (total - totalEvents) * Math.log(1 - share);
  const gain = Math.max(0, 2 * (climbed.logLikelihood - logLikelihoodNull));
  return {
    n,
    events,
    terms,
    covariance,
    ...(robustCovariance ? { robustCovariance } : {}),
    logLikelihood: climbed.logLikelihood,
    logLikelihoodNull,
    deviance: -2 * climbed.logLikelihood,
    likelihoodRatio: {
      statistic: gain,
      degreesOfFreedom: q - 1,
      pValue: q === 1 ? 1 : distributions.chiSquareUpper(gain, q - 1),
    },
    fitted,
    linearPredictor: predictor,
    iterations: climbed.iterations,
    converged: climbed.reason === undefined,
    ...(climbed.reason === undefined ? {} : { reason: climbed.reason }),
    separated: climbed.separated.map((j) => names[kept[j]!]!),
    dropped: names.filter((_, j) => !kept.includes(j)),
    probabilityFor: predictionBy(terms),
  };
}

/** `probabilityFor` of a fit with these terms, the constant first. */
export function predictionBy([constant, ...terms]: LogisticTerm[]): LogisticFit["probabilityFor"] {
  return (covariates) => {
    const result = linearSum(constant!.coefficient, terms, covariates);
    for (let i = 0; i < result.length; i++) result[i] = logistic(result[i]!);
    return result;
  };
}

/** Where another fit ended, in terms of the scaled columns; undefined where it has others. */
function scaledCoefficients(
  { centre, scale }: LogisticRows,
  { terms, converged }: Pick<LogisticFit, "terms" | "converged">,
  names: readonly string[],
): Float64Array | undefined {
  const [constant, ...others] = terms;
  const isSame = others.length === names.length && others.every(({ name }, j) => name === names[j]);
  if (!converged || !constant || !isSame) return undefined;
  const from = Float64Array.of(
    constant.coefficient,
    ...others.map(({ coefficient }) => coefficient),
  );
  for (let j = 1; j < from.length; j++) {
    from[0]! += from[j]! * centre[j - 1]!;
    from[j]! /= scale[j - 1]!;
  }
  return from;
}
