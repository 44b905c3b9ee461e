/** Outcomes that are seen only when somebody looks. @module */
export { drawnDifference, type DrawnShare, drawnShareLimits } from "./drawn-limits.ts";
export {
  type BracketedRecurrence,
  type DatedRecurrence,
  datedRecurrence,
} from "./dated-recurrence.ts";
export { type GradedFollowUp, type GradesAt, gradesOverTime } from "./grades-over-time.ts";
export {
  incidenceBounds,
  intervalCensoredIncidence,
  type VisitIncidence,
  type VisitIncidenceAt,
  type VisitOptions,
} from "./interval-censored-incidence.ts";
export {
  type LeakAtVisits,
  leakAtVisits,
  type LookedAt,
  type VisitCounting,
} from "./leak-at-visits.ts";
export {
  type ProportionCurve,
  type ProportionOverTime,
  proportionOverTime,
  type VisitOutcomes,
} from "./proportion-over-time.ts";
export {
  type RecurrenceEstimate,
  type RecurrenceMethod,
  recurrenceShortcuts,
} from "./recurrence-shortcuts.ts";
export { type ReweightedIncidence, reweightedIncidence } from "./reweighted-incidence.ts";
export type { UnseenDeaths, VisitFollowUp } from "./visit-design.ts";
export { type VisitIntensityData, type VisitWeights, visitWeights } from "./visit-weights.ts";
