/** From an analysis and its plan to completed sets, and estimates across them. @module */
export { acrossSets } from "./across-sets.ts";
export { contrastsByMethod, type MethodContrasts } from "./by-method.ts";
export { completeCases, incompleteRows } from "./complete-cases.ts";
export {
  chainWorkOf,
  type CompletedSets,
  completedSets,
  type CompletingOptions,
  firstSets,
  type MissingMethod,
  withCompletions,
} from "./completed-sets.ts";
export { type ImputationModel, imputationModel, type StudyShift } from "./imputation-model.ts";
export { outcomeColumns } from "./outcome-columns.ts";
export { chainsFrom, chainText, joinedChains, keptChains } from "./kept-chains.ts";
export {
  incidenceContrasts,
  pooledContrasts,
  pooledFromLandmark,
  pooledHazardRatio,
  pooledIncidenceByGroup,
  pooledRatioByPeriod,
  pooledRestrictedMean,
  pooledSurvivalByGroup,
  pooledTwoHazards,
  survivalContrasts,
} from "./pooled-estimates.ts";
