/** Regression of plain outcomes, prediction, and simple tests and rates. @module */
export {
  jointTest,
  type LogisticData,
  type LogisticFit,
  logisticRegression,
  type LogisticTerm,
  type OrdinalCut,
  type OrdinalData,
  type OrdinalFit,
  ordinalRegression,
  splineBasis,
  splineKnots,
  type TestableFit,
} from "./models/mod.ts";
export {
  type Calibration,
  calibration,
  type CalibrationGroup,
  rocCurve,
  rocDifference,
  type RocPoint,
  type SmoothRisk,
  smoothRisk,
} from "./prediction/mod.ts";
export {
  type LinearisedRate,
  linearisedRates,
  proportionInterval,
  rateInterval,
  type RatePeriod,
} from "./rates/mod.ts";
export {
  chiSquareTest,
  fisherTest,
  kolmogorovSmirnovTest,
  mcnemarTest,
  type MeanDifference,
  pairedTest,
  type RankSum,
  rankSumTest,
  welchTest,
} from "./tests/mod.ts";
