/** How patients, choices and outcomes come about. @module */
export { chanceOfRepair, intendedProcedure, type Procedure } from "./assignment.ts";
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
export { type Discovery, discovery, drawVisits, type Visit } from "./visits.ts";
