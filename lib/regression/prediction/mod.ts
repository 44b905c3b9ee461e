/** How well a predicted risk tells who has the outcome. @module */
export { type Calibration, calibration, type CalibrationGroup } from "./calibration.ts";
export {
  type ActingRule,
  type DecisionCurve,
  decisionCurve,
  type DecisionLine,
} from "./decision-curve.ts";
export { rocCurve, rocDifference, type RocPoint } from "./roc.ts";
export { type SmoothRisk, smoothRisk } from "./smooth-risk.ts";
export { riskLimits } from "./risk-limits.ts";
export { type SmoothMean, smoothMean } from "./smooth-mean.ts";
export type { KnotChoice } from "./spline-columns.ts";
export { interceptInTheLarge } from "./intercept-in-the-large.ts";
export { likePredictions } from "./like-predictions.ts";
