/** Chained equations: each column drawn from the others in turn. @module */
export type { ChainColumn, ChainData, ColumnOrder, DerivedColumn, Shift } from "./chain-data.ts";
export {
  type ChainWork,
  imputeColumns,
  type ImputedColumns,
  imputedColumns,
  type ImputeOptions,
  runChains,
} from "./impute-columns.ts";
export type { ChainResult, GivenValues, Trace } from "./run-chain.ts";
