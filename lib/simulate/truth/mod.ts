/** The true answers of a simulated cohort. @module */
export {
  type PopulationName,
  type TrueAnswers,
  trueAnswers,
  type TrueComparison,
  type TruePopulation,
  type TrueRatio,
  type TrueValue,
} from "./true-answers.ts";
export { type TruthFile, truthFile } from "./truth-file.ts";
