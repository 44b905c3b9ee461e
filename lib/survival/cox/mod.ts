/** Proportional hazards regression: design, likelihood, Newton steps, summary, robust errors, residuals and tests, in that order. @module */
export type { BaselineHazard, PredictedSurvival } from "./baseline.ts";
export { type Concordance, concordanceOf } from "./concordance.ts";
export { coxRegression } from "./cox-regression.ts";
export { coxDesign } from "./design.ts";
export type { CoxData, CoxFit, CoxOptions, CoxTerm, TieRule } from "./fit.ts";
export type { Evaluate, Evaluation } from "./likelihood.ts";
export { COLLINEAR, inverseForm, maximise, type Maximum, scoreStatistic } from "./newton.ts";
export { type PeriodHazardRatios, periodHazardRatios } from "./period-hazard-ratios.ts";
export { addWeightedProducts, mirror } from "./products.ts";
export {
  type ProportionalHazardsOptions,
  type ProportionalHazardsTest,
  proportionalHazardsTest,
} from "./proportional-hazards.ts";
export {
  type CovariateResiduals,
  coxResiduals,
  type EventResiduals,
  type RowResiduals,
} from "./residuals.ts";
export { type SplitFollowUp, splitFollowUp } from "./split-follow-up.ts";
