/** How patients, choices and outcomes come about. @module */
export {
  chanceOfConversion,
  chanceOfRepair,
  intendedProcedure,
  type Procedure,
} from "./assignment.ts";
export { hazardLimit } from "./hazard-limit.ts";
export { daysPerYear, gradeAt, type Outcome, outcomes, prognosis } from "./outcomes.ts";
export { type CohortParameters, cohortParameters } from "./parameters.ts";
export {
  clamp,
  drawPatient,
  logistic,
  type Operation,
  type Patient,
  tenth,
  whole,
} from "./patient.ts";
export {
  chanceOfAblation,
  chanceOfLimitedAccess,
  chanceOfSubvalvular,
  chancesOfSparing,
  techniqueOf,
} from "./technique.ts";
export { type Discovery, discovery, drawVisits, type Visit } from "./visits.ts";
