import { followUpOf, openStudy, readCohort, selectEligible } from "mitral";

export const study = await openStudy();
export const analysis = selectEligible(await readCohort(study), study);
export const followUp = followUpOf(analysis, "death");
