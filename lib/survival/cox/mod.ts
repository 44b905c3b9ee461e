/** Proportional hazards regression: design, likelihood, Newton steps, summary, robust errors, residuals and tests, in that order. @module */
export {
  type BaselineHazard,
  type Concordance,
  concordanceOf,
  type CoxData,
  type CoxFit,
  type CoxOptions,
  coxRegression,
  type CoxTerm,
  type PredictedSurvival,
  type TieRule,
} from "./model/mod.ts";
export {
  addWeightedProducts,
  coxDesign,
  mirror,
  type SplitFollowUp,
  splitFollowUp,
} from "./rows/mod.ts";
export {
  COLLINEAR,
  type Evaluate,
  type Evaluation,
  inverseForm,
  maximise,
  type Maximum,
  scoreStatistic,
} from "./likelihood/mod.ts";
export {
  type CovariateResiduals,
  coxResiduals,
  type EventResiduals,
  type PeriodHazardRatios,
  periodHazardRatios,
  type ProportionalHazardsOptions,
  type ProportionalHazardsTest,
  proportionalHazardsTest,
  type RowResiduals,
} from "./checks/mod.ts";
