export { type Figure, type FigureOptions, type FigureVersion, makeFigure } from "./figure.ts";
export { darkScheme } from "./theme.ts";
export * from "./balance-figure.ts";
export * from "./calibration-figure.ts";
export * from "./curve-figure.ts";
export * from "./dating-figure.ts";
export * from "./flow-figure.ts";
export * from "./forest-figure.ts";
export * from "./funnel-figure.ts";
export * from "./grade-figure.ts";
export * from "./incidence-figure.ts";
export * from "./missing-figure.ts";
export { propensityFigure, type PropensityGroup } from "./propensity-figure.ts";
export { stackedStatesFigure, type StatesGroup } from "./stacked-states-figure.ts";
export {
  type AtRiskColumns,
  type DifferenceColumns,
  type SurvivalColumns,
  survivalFigure,
  type SurvivalGroup,
  type TimeFigureOptions,
} from "./survival-figure.ts";
export * from "./visit-figure.ts";
