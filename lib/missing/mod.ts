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
