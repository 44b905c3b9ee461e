import { type CohortParameters, cohortParameters } from "../../../lib/simulate/mechanism/mod.ts";

/** Cohorts of one kind: what their patients are like and how many they are. */
export interface Mix {
  name: "demo" | "harder";
  /** As the report says it. */
  about: string;
  /** Patients in the file, before any is left out. */
  n: number;
  parameters: CohortParameters;
}

const { assignment, missing } = cohortParameters;

/** The demonstration's own case mix. */
const demo: Mix = {
  name: "demo",
  about: "the demonstration's case mix",
  n: 1800,
  parameters: cohortParameters,
};

/**
 * Fewer patients, so that about 150 die; 30 in 100 lack each of several covariates; what a surgeon
 * goes by weighs twice as much, so that the groups hardly overlap.
 */
const harder: Mix = {
  name: "harder",
  about: "few events, poor overlap and many missing values",
  n: 880,
  parameters: {
    ...cohortParameters,
    assignment: {
      ...assignment,
      ...Object.fromEntries(Object.entries(assignment).map(([name, odds]) => [name, 2 * odds])),
    },
    missing: { ...missing, egfr: -1.15, tether: -1.15, ipmd: -1.15, pasp: -1.15, bsa: -1.15 },
  },
};

export const mixes: readonly Mix[] = [demo, harder];
