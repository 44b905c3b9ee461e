/** How well a predicted risk tells who has the outcome. @module */
export { type Calibration, calibration, type CalibrationGroup } from "./calibration.ts";
export { rocCurve, rocDifference, type RocPoint } from "./roc.ts";
export { type SmoothRisk, smoothRisk } from "./smooth-risk.ts";
