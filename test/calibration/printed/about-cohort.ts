import type * as mitral from "mitral";
import type { PatientTruth } from "../../../lib/simulate/rows/mod.ts";

/** What a cohort is like. */
export interface AboutCohort {
  eligible: number;
  deaths: number;
  /** Share of eligible patients that lack a covariate. */
  incomplete: number;
  /** Patients' worth of information in the smaller group, once weighted. */
  effective: number;
}

/** What a cohort is like, once weighted. */
export function aboutCohort(
  analysis: mitral.Analysis,
  sample: mitral.WeightedSample,
  patients: readonly PatientTruth[],
): AboutCohort {
  const { covariates } = sample.propensity.design;
  const marks = Object.entries(covariates).filter(([name]) => name.endsWith("missing"));
  const lacking = Array.from(analysis.rows, (_, i) => marks.some(([, mark]) => mark[i] === 1));
  return {
    eligible: analysis.n,
    deaths:
      patients.filter((one, i) =>
        one.potential[analysis.treated[i] === 1 ? "repair" : "replacement"].deathDay <=
          one.lastContactDay
      ).length,
    incomplete: lacking.filter(Boolean).length / analysis.n,
    effective: Math.min(sample.repair.effective, sample.replacement.effective),
  };
}
