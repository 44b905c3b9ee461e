/** A true value, known up to the Monte-Carlo error of its simulation. */
export interface TrueValue {
  estimate: number;
  /** Monte-Carlo standard error. */
  standardError: number;
}

/** A true hazard ratio of repair against replacement. */
export interface TrueRatio {
  hazardRatio: number;
  logHazardRatio: number;
  /** Monte-Carlo standard error of the logarithm. */
  standardError: number;
}

/** A quantity in both groups, one value a horizon; difference = repair minus replacement. */
export interface TrueComparison {
  repair: TrueValue[];
  replacement: TrueValue[];
  difference: TrueValue[];
}
