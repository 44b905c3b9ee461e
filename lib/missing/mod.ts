/** Missing values completed several times over, and what follows from that. @module */
export {
  type ChainColumn,
  type ChainData,
  type ColumnOrder,
  type DerivedColumn,
  type GivenValues,
  imputeColumns,
  type ImputedColumns,
  type ImputeOptions,
  type Shift,
  type Trace,
} from "./chain/mod.ts";
export {
  type Contrast,
  poolContrast,
  poolContrasts,
  type Pooled,
  type PooledContrast,
  type PooledEstimate,
  poolImputations,
  poolIncidence,
  poolIntervals,
  type PoolOptions,
  poolSurvival,
  setsForIncomplete,
  setsForPrecision,
} from "./pool/mod.ts";
export {
  acrossSets,
  completeCases,
  type CompletedSets,
  completedSets,
  type DesignedSets,
  type ImputationModel,
  imputationModel,
  incompleteRows,
  matchedSets,
  type MissingMethod,
  outcomeColumns,
  pooledContrasts,
  pooledIncidenceByGroup,
  pooledSurvivalByGroup,
  type StudyShift,
  weightedSets,
} from "./study/mod.ts";
export {
  type ColumnComparison,
  type Mixing,
  mixing,
  observedAgainstImputed,
  type ValuesSummary,
} from "./look/mod.ts";
export { type TippingPoint, tippingPoint, type TippingStep } from "./tipping/mod.ts";
