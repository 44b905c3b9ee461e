import { stringify } from "csv-stringify/sync";
import type { SimulatedCohort } from "./simulate-cohort.ts";

/** Size and seed of the cohort in `data-demo/`. */
export const demoCohort = { seed: 20240701, n: 1800 };

/** Size, seed and horizons of the simulation behind `data-demo/truth.json`. */
export const demoTruth = { seed: 4, n: 900_000, horizons: [1, 5, 10] };

/** The two CSV files of a cohort: comma, line feed, a header, blanks for missing values. */
export function cohortFiles(
  cohort: Pick<SimulatedCohort, "patients" | "visits">,
): { "patients.csv": string; "echo-visits.csv": string } {
  return {
    "patients.csv": stringify(cohort.patients, { header: true }),
    "echo-visits.csv": stringify(cohort.visits, { header: true }),
  };
}
