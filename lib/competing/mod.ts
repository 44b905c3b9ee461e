export { cumulativeIncidence, cumulativeIncidenceByGroup } from "./cumulative-incidence.ts";
export type {
  CauseIncidence,
  CumulativeIncidence,
  IncidenceAt,
  IncidenceOptions,
} from "./cumulative-incidence.ts";
export { incidenceDifference } from "./incidence-difference.ts";
export type { IncidenceContrast } from "./incidence-difference.ts";
export type { IncidenceInterval } from "./incidence-limits.ts";
export { incidenceIgnoringCompetingEvents } from "./incidence-ignoring.ts";
export { grayTest } from "./gray-test.ts";
export type { GrayGroup } from "./gray-test.ts";
export { survivalDifference } from "./survival-difference.ts";
export type { SurvivalContrast } from "./survival-difference.ts";
export { causeSpecific } from "./cause-specific.ts";
export { subdistributionRegression } from "./subdistribution-regression.ts";
export type {
  PredictedIncidence,
  SubdistributionData,
  SubdistributionFit,
  SubdistributionOptions,
} from "./subdistribution-fit.ts";
export type { CensoringRiskSet } from "./subdistribution-design.ts";
export {
  dividesBothGroups,
  type SubgroupDifference,
  subgroupDifference,
} from "./subgroup-difference.ts";
export { stateOccupation } from "./state-occupation.ts";
export type { OccupationAt, OccupationOptions, StateOccupation } from "./state-occupation.ts";
export { expectedTimeDifference } from "./state-difference.ts";
export type { StateTimeContrast } from "./state-difference.ts";
export { transitionRows } from "./transition-rows.ts";
export type { StageTimes, TransitionRows } from "./transition-rows.ts";
export { incidenceBounds, intervalCensoredIncidence } from "./interval-censored-incidence.ts";
export type {
  VisitIncidence,
  VisitIncidenceAt,
  VisitOptions,
} from "./interval-censored-incidence.ts";
export { recurrenceShortcuts } from "./recurrence-shortcuts.ts";
export type { RecurrenceEstimate, RecurrenceMethod } from "./recurrence-shortcuts.ts";
export type { UnseenDeaths, VisitFollowUp } from "./visit-design.ts";
export { subdistributionProportionality } from "./subdistribution-proportionality.ts";
export type {
  SubdistributionProportionality,
  SubdistributionTime,
} from "./subdistribution-proportionality.ts";
export { visitWeights } from "./visit-weights.ts";
export type { VisitIntensityData, VisitWeights } from "./visit-weights.ts";
export { proportionOverTime } from "./proportion-over-time.ts";
export type { ProportionCurve, ProportionOverTime, VisitOutcomes } from "./proportion-over-time.ts";
export { gradesOverTime } from "./grades-over-time.ts";
export type { GradedFollowUp, GradesAt } from "./grades-over-time.ts";
export { incidenceByMeasurement } from "./incidence-by-measurement.ts";
export type { IncidenceByMeasurement } from "./incidence-by-measurement.ts";
