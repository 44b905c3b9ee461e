/** Whether results change with a surgeon's experience, and when that is over. @module */
export { experienceOf } from "./experience.ts";
export { type LearningCurve, learningCurve } from "./learning-curve.ts";
export type { LearningData } from "./learning-data.ts";
export { type LearningPlateau, learningPlateau } from "./plateau.ts";
