/** The propensity score, from plain columns and from the study file. @module */
export { type DesignMatrix, designMatrix, type Imputed } from "./design-matrix.ts";
export { type Propensity, propensityScore } from "./propensity.ts";
export { describedColumn, type StudyCovariate, studyCovariate } from "./study-covariate.ts";
export { keptScores, type StudyPropensity, studyPropensity } from "./study-propensity.ts";
export { averagedScore, meanOver, warningsOf } from "./averaged-score.ts";
