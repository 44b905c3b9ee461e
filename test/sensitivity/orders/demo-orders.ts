import { openAnalysis, studyPropensity } from "mitral";

export const { analysis, study } = await openAnalysis();
export const propensity = studyPropensity(analysis, study);
