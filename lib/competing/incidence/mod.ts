/** Cumulative incidence, its differences and tests. @module */
export { type ArmAt, ENOUGH, limitsOfSome, meanNumber } from "./arm-limits.ts";
export { causeSpecific } from "./cause-specific.ts";
export { rowAt } from "./cause-table.ts";
export {
  type CauseIncidence,
  type CumulativeIncidence,
  cumulativeIncidence,
  cumulativeIncidenceByGroup,
  type IncidenceAt,
  type IncidenceOptions,
} from "./cumulative-incidence.ts";
export { effectiveAtRisk, putEffectiveNumbers, withEffectiveNumbers } from "./effective-at-risk.ts";
export { type GrayGroup, grayTest } from "./gray-test.ts";
export { type IncidenceContrast, incidenceDifference } from "./incidence-difference.ts";
export {
  type GroupAtHorizon,
  type GroupsAtHorizon,
  groupsAtHorizon,
  limitsBetween,
} from "./groups-at-horizon.ts";
export { incidenceIgnoringCompetingEvents } from "./incidence-ignoring.ts";
export {
  checkInterval,
  FEW,
  type IncidenceInterval,
  incidenceLimits,
  limitQuantile,
  noneSeen,
} from "./incidence-limits.ts";
export { type SurvivalContrast, survivalDifference } from "./survival-difference.ts";
export { pseudoValues, pseudoValuesOf } from "./pseudo-values.ts";
