/** From an analysis and its plan to completed sets, and estimates across them. @module */
export { acrossSets } from "./across-sets.ts";
export { contrastsByMethod, type MethodContrasts } from "./by-method.ts";
export { completeCases, incompleteRows } from "./complete-cases.ts";
export {
  type CompletedSets,
  completedSets,
  firstSets,
  type MissingMethod,
} from "./completed-sets.ts";
export { type ImputationModel, imputationModel, type StudyShift } from "./imputation-model.ts";
export { outcomeColumns } from "./outcome-columns.ts";
export {
  type DesignedSets,
  matchedSets,
  pooledContrasts,
  pooledIncidenceByGroup,
  pooledSurvivalByGroup,
  type StudyDesigns,
  studyDesigns,
  weightedSets,
} from "./designed-sets.ts";
