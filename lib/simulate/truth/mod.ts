/** The true answers of a simulated cohort. @module */
export type { TechniqueComparison, TrueArm, TrueArms } from "./arms.ts";
export {
  type PopulationName,
  type TrueAnswers,
  trueAnswers,
  type TruePopulation,
} from "./true-answers.ts";
export { type TruthFile, truthFile } from "./truth-file.ts";
export type { TrueComparison, TrueRatio, TrueValue } from "./true-values.ts";
