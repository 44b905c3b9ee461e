/** How far predicted chances with other causes before them can be taken at their word. @module */
export { type CalibrationAt, calibrationAt, type CalibrationAtGroup } from "./calibration-at.ts";
