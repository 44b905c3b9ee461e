export { type Calibration, calibration, type CalibrationGroup } from "./calibration.ts";
export { chiSquareTest } from "./chi-square-test.ts";
export { fisherTest } from "./fisher-test.ts";
export { kolmogorovSmirnovTest } from "./kolmogorov-smirnov.ts";
export { type LinearisedRate, linearisedRates, type RatePeriod } from "./linearised-rates.ts";
export {
  type LogisticData,
  type LogisticFit,
  logisticRegression,
  type LogisticTerm,
} from "./logistic.ts";
export { jointTest, type TestableFit } from "./joint-test.ts";
export { mcnemarTest } from "./mcnemar-test.ts";
export {
  type OrdinalCut,
  type OrdinalData,
  type OrdinalFit,
  ordinalRegression,
} from "./ordinal.ts";
export { proportionInterval } from "./proportion-interval.ts";
export { type RankSum, rankSumTest } from "./rank-sum.ts";
export { rateInterval } from "./rate-interval.ts";
export { rocCurve, rocDifference, type RocPoint } from "./roc.ts";
export { splineBasis, splineKnots } from "./spline.ts";
export { type MeanDifference, pairedTest, welchTest } from "./t-tests.ts";
export { type SmoothRisk, smoothRisk } from "./smooth-risk.ts";
