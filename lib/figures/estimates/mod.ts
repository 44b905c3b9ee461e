/** Estimates and curves that are not over time. @module */
export { calibrationFigure, type CalibrationPoint } from "./calibration-figure.ts";
export { curveFigure } from "./curve-figure.ts";
export { decisionFigure, type DrawnRule } from "./decision-figure.ts";
export { armGroups, forestFigure } from "./forest-figure.ts";
export type { ForestSection } from "./forest-layout.ts";
export type { EffectScale, ForestRow } from "./forest-words.ts";
export { funnelFigure, type FunnelLimits, type FunnelPoint } from "./funnel-figure.ts";
export { pathsFigure } from "./paths-figure.ts";
export type { DrawnChoice, DrawnPath } from "./paths-rows.ts";
