export { type Calibration, calibration, type CalibrationGroup } from "./calibration.ts";
export {
  type LogisticData,
  type LogisticFit,
  logisticRegression,
  type LogisticTerm,
} from "./logistic.ts";
export { proportionInterval } from "./proportion-interval.ts";
export { rocCurve, rocDifference, type RocPoint } from "./roc.ts";
export { splineBasis, splineKnots } from "./spline.ts";
