/** Synthetic cohorts with known true answers; nothing imports it. @module */
export {
  type CohortParameters,
  cohortParameters,
  type Outcome,
  type Procedure,
} from "./mechanism/mod.ts";
export {
  cohortFiles,
  demoCohort,
  demoTruth,
  type PatientRow,
  type PatientTruth,
  simulateCohort,
  type SimulatedCohort,
  type VisitRow,
} from "./rows/mod.ts";
export {
  type PopulationName,
  type TrueAnswers,
  trueAnswers,
  type TrueComparison,
  type TruePopulation,
  type TrueRatio,
  type TrueValue,
  type TruthFile,
} from "./truth/mod.ts";
