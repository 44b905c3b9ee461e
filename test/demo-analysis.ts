import { openAnalysis } from "mitral";

/**
 * The demonstration as notebooks open it, once for all tests that run together: completing its
 * missing values takes seconds. To be read, never written to.
 */
export const { analysis, asPlanned, cohort, horizons, labels, mainHorizon, phrases, study } =
  await openAnalysis();
