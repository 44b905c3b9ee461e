import {
  checkConfidence,
  checkNumber,
  DataError,
  distributions,
  type Interval,
  numberColumn,
} from "../../numerics/mod.ts";

/** One estimate from several imputed data sets. */
export interface PooledEstimate extends Interval {
  /** Degrees of freedom. */
  degreesOfFreedom: number;
  /** The test statistic. */
  statistic: number;
  /** Two-sided p value. */
  pValue: number;
  /** Mean of the variances. */
  within: number;
  /** Variance of the estimates. */
  between: number;
  /** (1 + 1 / m) between / within: what missing values add to the variance. */
  relativeIncrease: number;
  /** Share of the information that is missing, (r + 2 / (df + 3)) / (r + 1). */
  fractionMissing: number;
}

/**
 * Pools the estimates of m imputed data sets by Rubin's rules: estimate the mean, variance
 * within + (1 + 1 / m) between, t limits.
 *
 * Degrees of freedom are those of Barnard and Rubin where `completeDegreesOfFreedom` is given, else
 * Rubin's of 1987, which grow beyond those of the complete data. Pool on a scale on which estimates
 * are nearly normal (a log hazard ratio). Where the propensity score was estimated, pool the
 * effects estimated within each data set, not their scores.
 *
 * @param data.estimates At least two.
 * @param data.variances Squared standard errors.
 * @throws {DataError}
 * @see Rubin (1987) Multiple Imputation for Nonresponse in Surveys, ch. 3; Barnard & Rubin (1999)
 * Biometrika 86:948-955.
 */
export function poolImputations(
  data: { estimates: number[]; variances: number[]; completeDegreesOfFreedom?: number },
  options: { confidence?: number } = {},
): PooledEstimate {
  const tail = (1 - checkConfidence(options.confidence)) / 2;
  const estimates = numberColumn("estimates", data.estimates);
  const m = estimates.length;
  if (m < 2) {
    throw new DataError("estimates", "from at least two imputed data sets", data.estimates);
  }
  const variances = numberColumn("variances", data.variances, { length: m, above: 0 });
  const complete = data.completeDegreesOfFreedom ?? Infinity;
  checkNumber("completeDegreesOfFreedom", complete, (v) => v > 0, "a number > 0");
  const rubin = rubinsRules(estimates, variances, complete);
  const { estimate, standardError, degreesOfFreedom, within, between, relativeIncrease } = rubin;
  const statistic = estimate / standardError;
  const normal = degreesOfFreedom === Infinity;
  const quantile = normal
    ? distributions.normalUpperQuantile(tail)
    : distributions.studentUpperQuantile(tail, degreesOfFreedom);
  return {
    estimate,
    standardError,
    lower: estimate - quantile * standardError,
    upper: estimate + quantile * standardError,
    degreesOfFreedom,
    statistic,
    pValue: normal
      ? distributions.normalTwoSided(statistic)
      : distributions.studentTwoSided(statistic, degreesOfFreedom),
    within,
    between,
    relativeIncrease,
    fractionMissing: (relativeIncrease + 2 / (degreesOfFreedom + 3)) / (relativeIncrease + 1),
  };
}

/** Estimate, error and degrees of freedom alone, of columns that were checked. */
export function rubinsRules(
  estimates: ArrayLike<number>,
  variances: ArrayLike<number>,
  complete: number,
): Pick<
  PooledEstimate,
  | "estimate"
  | "standardError"
  | "degreesOfFreedom"
  | "within"
  | "between"
  | "relativeIncrease"
> {
  const m = estimates.length;
  let mean = 0;
  let within = 0;
  let [lowest, highest] = [Infinity, -Infinity];
  for (let i = 0; i < m; i++) {
    mean += estimates[i]! / m;
    within += variances[i]! / m;
    lowest = Math.min(lowest, estimates[i]!);
    highest = Math.max(highest, estimates[i]!);
  }
  // rounding takes no mean past what it is of: twenty sets in which all are alive say 1
  const estimate = Math.min(highest, Math.max(lowest, mean));
  let between = 0;
  for (let i = 0; i < m; i++) between += (estimates[i]! - estimate) ** 2 / (m - 1);
  const added = (1 + 1 / m) * between;
  const total = within + added;
  const relativeIncrease = added / within;
  const share = added / total;
  const classical = share > 0 ? (m - 1) / share ** 2 : Infinity;
  const observed = complete === Infinity
    ? Infinity
    : (complete + 1) / (complete + 3) * complete * (1 - share);
  const degreesOfFreedom = 1 / (1 / classical + 1 / observed);
  const standardError = Math.sqrt(total);
  return { estimate, standardError, degreesOfFreedom, within, between, relativeIncrease };
}
