/** A test of a hypothesis against a chi-square distribution unless the function says otherwise. */
export interface Test {
  /** The test statistic. */
  statistic: number;
  /** Degrees of freedom. */
  degreesOfFreedom: number;
  /** Two-sided p value. */
  pValue: number;
}

/** An estimate with its standard error and confidence limits. */
export interface Interval {
  /** The estimate. */
  estimate: number;
  /** Standard error of the estimate. */
  standardError: number;
  /** Lower limit. */
  lower: number;
  /** Upper limit. */
  upper: number;
}
