/** A test of a hypothesis against a chi-square distribution unless the function says otherwise. */
export interface Test {
  statistic: number;
  degreesOfFreedom: number;
  pValue: number;
}

/** An estimate with its standard error and confidence limits. */
export interface Interval {
  estimate: number;
  standardError: number;
  lower: number;
  upper: number;
}
