/**
 * What happened after the operation: endpoints, visits, the ventricle, and how completely
 * it is known.
 *
 * @module
 */
export {
  type CompletenessRow,
  echoSchedule,
  type EchoScheduleRow,
  followUpCompleteness,
} from "./completeness.ts";
export { daysPerYear, type Grade } from "./course.ts";
export type { EndpointFollowUp, LeftOut } from "./collect-follow-up.ts";
export { followUpOf } from "./endpoints.ts";
export { ownEvents } from "./own-endpoint.ts";
export { type RecurrenceIntervals, recurrenceIntervals } from "./recurrence-intervals.ts";
export { type ReachablePlan, reachablePlan } from "./reachable-plan.ts";
export { type RecurrenceLookedFor, recurrenceLookedFor } from "./looked-for.ts";
export { armWarnings, missingness, type MissingnessRow } from "./missingness.ts";
export { type ValveCourse, valveCourse } from "./valve-course.ts";
export { type EarlyEvent, earlyEvents, type ValveEvent, valveEvents } from "./valve-events.ts";
export { type MarkCount, type VentricleAfter, ventricleAfter } from "./ventricle.ts";
export {
  type GradeHistory,
  gradeHistory,
  type VisitHistory,
  visitHistory,
} from "./visit-history.ts";
