/**
 * Proportional hazards regression: design, likelihood, Newton steps, summary, robust errors,
 * residuals and tests, in that order.
 *
 * @module
 */
export {
  type BaselineHazard,
  columnMeans,
  type Concordance,
  concordanceOf,
  type CoxData,
  type CoxFit,
  type CoxOptions,
  coxRegression,
  type CoxTerm,
  linearPredictor,
  type PredictedSurvival,
  productsOf,
  reasonOf,
  sandwich,
  termsOf,
  type TieRule,
  unscaled,
} from "./model/mod.ts";
export {
  addWeightedProducts,
  type ClusterCodes,
  clustersAt,
  coxDesign,
  keepColumns,
  mirror,
  type ScaledColumns,
  type SplitFollowUp,
  splitFollowUp,
} from "./rows/mod.ts";
export {
  type Evaluate,
  type Evaluation,
  inverseForm,
  maximise,
  type Maximum,
  scoreStatistic,
  withoutDependent,
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
