/** A test of a hypothesis against a chi-square distribution unless the function says otherwise. */
export interface Test {
  /** The test statistic. */
  statistic: number;
  /** Degrees of freedom. */
  degreesOfFreedom: number;
  /** Two-sided p value. */
  pValue: number;
}

/** An estimate with its confidence limits. */
export interface Limits {
  /** The estimate. */
  estimate: number;
  /** Lower limit. */
  lower: number;
  /** Upper limit. */
  upper: number;
}

/** An estimate with its standard error and confidence limits. */
export interface Interval extends Limits {
  /** Standard error of the estimate. */
  standardError: number;
}
