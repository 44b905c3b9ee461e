export type { Procedure } from "./assignment.ts";
export { cohortFiles, demoCohort, demoTruth } from "./cohort-files.ts";
export type { Outcome } from "./outcomes.ts";
export { type CohortParameters, cohortParameters } from "./parameters.ts";
export type { PatientRow, VisitRow } from "./rows.ts";
export { type PatientTruth, simulateCohort, type SimulatedCohort } from "./simulate-cohort.ts";
export {
  type PopulationName,
  type TrueAnswers,
  trueAnswers,
  type TrueComparison,
  type TruePopulation,
  type TrueRatio,
  type TrueValue,
} from "./true-answers.ts";
export type { TruthFile } from "./truth-file.ts";
