/** Shares of patients in each of several states, and the time spent in them. @module */
export { expectedTimeDifference, type StateTimeContrast } from "./state-difference.ts";
export {
  type OccupationAt,
  type OccupationOptions,
  type StateOccupation,
  stateOccupation,
} from "./state-occupation.ts";
export { type StageTimes, type TransitionRows, transitionRows } from "./transition-rows.ts";
