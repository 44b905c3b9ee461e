export type { Procedure } from "./assignment.ts";
export { cohortFiles, demoCohort } from "./cohort-files.ts";
export type { Outcome } from "./outcomes.ts";
export { type CohortParameters, cohortParameters } from "./parameters.ts";
export type { PatientRow, VisitRow } from "./rows.ts";
export { type PatientTruth, simulateCohort, type SimulatedCohort } from "./simulate-cohort.ts";
