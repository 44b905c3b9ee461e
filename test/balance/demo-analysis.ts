import { openStudy, readCohort, selectEligible, studyPropensity } from "mitral";

export const demo = await openStudy();
const cohort = await readCohort(demo);
export const analysis = selectEligible(cohort, demo);
export const propensity = studyPropensity(analysis, demo);
