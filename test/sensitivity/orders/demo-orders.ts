import { studyPropensity } from "mitral";
import { analysis, study } from "../../demo-analysis.ts";

export { analysis, study };
export const propensity = studyPropensity(analysis, study);
