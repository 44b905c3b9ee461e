/** The same question answered in every defensible way. @module */
export { type ChoiceInfluence, choiceInfluence } from "./choice-influence.ts";
export { type Choices, type Dimension, everyPath } from "./every-path.ts";
export {
  type FailedPath,
  type Path,
  type SpecificationCurve,
  specificationCurve,
} from "./specification-curve.ts";
export { type Question, studyChoices } from "./study-choices.ts";
export { type StudyPaths, studyPaths } from "./study-paths.ts";
