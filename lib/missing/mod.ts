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
