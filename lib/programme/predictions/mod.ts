/** What fitted models predict for all operations, some things held alike. @module */
export { indicatorColumns, indicatorName } from "./indicator-columns.ts";
export { eachAlone, nearAlike, type RowsTogether } from "./near-alike.ts";
export {
  type FittedModel,
  type OutcomeKind,
  type Predictions,
  standardizedPredictions,
} from "./standardized-predictions.ts";
