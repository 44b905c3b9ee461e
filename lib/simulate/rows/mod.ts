/** Simulated patients as the files a centre would keep. @module */
export { cohortFiles, demoCohort, demoTruth } from "./cohort-files.ts";
export { inventedLifeTable } from "./life-table.ts";
export { lastContactDay } from "./patient-row.ts";
export type { Blank, PatientRow, VisitRow } from "./rows.ts";
export {
  drawSeries,
  type PatientTruth,
  simulateCohort,
  type SimulatedCohort,
} from "./simulate-cohort.ts";
