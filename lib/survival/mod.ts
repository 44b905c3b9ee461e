export { type KaplanMeier, kaplanMeier, kaplanMeierByGroup } from "./kaplan-meier.ts";
export type { KaplanMeierOptions } from "./kaplan-meier.ts";
export type { CurveAt } from "./curve-values.ts";
export { type Landmark, landmark, type LandmarkReason } from "./landmark.ts";
export type { LimitScale } from "./limits.ts";
export { type LogRank, logRank, type LogRankOptions, type TimeWeighting } from "./log-rank.ts";
export {
  type LogRankMax,
  logRankMax,
  type LogRankMaxOptions,
  type TimePowers,
} from "./log-rank-max.ts";
export type { GroupedFollowUp } from "./log-rank-sums.ts";
export { type MedianFollowUp, medianFollowUp } from "./median-follow-up.ts";
export {
  type RestrictedMeanDifference,
  restrictedMeanDifference,
  type RestrictedMeanOptions,
  restrictedMeanSurvival,
} from "./restricted-mean.ts";
export type { Concordance } from "./concordance.ts";
export type { BaselineHazard, PredictedSurvival } from "./cox-baseline.ts";
export type { CoxData, CoxFit, CoxOptions, CoxTerm, TieRule } from "./cox-fit.ts";
export { coxRegression } from "./cox-regression.ts";
export { coxResiduals } from "./cox-residuals.ts";
export type { CovariateResiduals, EventResiduals, RowResiduals } from "./cox-residuals.ts";
export { type PeriodHazardRatios, periodHazardRatios } from "./period-hazard-ratios.ts";
export { proportionalHazardsTest } from "./proportional-hazards.ts";
export type {
  ProportionalHazardsOptions,
  ProportionalHazardsTest,
} from "./proportional-hazards.ts";
export { type SplitFollowUp, splitFollowUp } from "./split-follow-up.ts";
export {
  type IntervalCensored,
  type IntervalCensoredAt,
  type IntervalCensoredOptions,
  type IntervalCensoredSurvival,
  intervalCensoredSurvival,
} from "./interval-censored.ts";
export {
  type ExpectedSurvival,
  expectedSurvival,
  type ObservedToExpected,
  observedToExpected,
  type People,
  type Person,
} from "./expected-survival.ts";
export { type LifeTable, readLifeTable } from "./life-table.ts";
export { type StandardizedSurvival, standardizedSurvival } from "./standardized-survival.ts";
export type { StandardizedContrast, StandardizedData } from "./standardized-contrast.ts";
export {
  type DoublyRobustSurvival,
  doublyRobustSurvival,
  type TargetPopulation,
} from "./doubly-robust-survival.ts";
export { type PairedOutcome, pairedOutcome } from "./paired-outcome.ts";
