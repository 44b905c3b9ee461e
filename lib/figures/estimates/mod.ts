/** Estimates and curves that are not over time. @module */
export { calibrationFigure, type CalibrationPoint } from "./calibration-figure.ts";
export { curveFigure } from "./curve-figure.ts";
export { decisionFigure, type DrawnRule } from "./decision-figure.ts";
export { forestFigure, type ForestRow, type ForestSection } from "./forest-figure.ts";
export { funnelFigure, type FunnelLimits, type FunnelPoint } from "./funnel-figure.ts";
export { type DrawnChoice, type DrawnPath, pathsFigure } from "./paths-figure.ts";
