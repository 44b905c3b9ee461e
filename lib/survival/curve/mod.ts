/** Kaplan-Meier curves and what is read off them. @module */
export { type ConditionalSurvival, conditionalSurvival } from "./conditional-survival.ts";
export { type CurveAt, curveQuantile } from "./curve-values.ts";
export { eventTable, lastAtMost, partsOf } from "./event-table.ts";
export { effectiveNumbers, fewEventsLimits, fewEventsLimitsAfter } from "./few-events.ts";
export {
  type KaplanMeier,
  kaplanMeier,
  kaplanMeierByGroup,
  type KaplanMeierOptions,
} from "./kaplan-meier.ts";
export { type Landmark, landmark, type LandmarkReason } from "./landmark.ts";
export { fillLimits, type LimitScale } from "./limits.ts";
export { type MedianFollowUp, medianFollowUp } from "./median-follow-up.ts";
export { type PairedOutcome, pairedOutcome } from "./paired-outcome.ts";
export {
  type CumulativeHazardAt,
  type NelsonAalen,
  nelsonAalen,
  type NelsonAalenOptions,
} from "./nelson-aalen.ts";
export {
  type RestrictedMeanDifference,
  restrictedMeanDifference,
  type RestrictedMeanOptions,
  restrictedMeanSurvival,
} from "./restricted-mean.ts";
