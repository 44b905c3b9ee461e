/** The shapes of a cohort and of the patients analysed, and access to their columns. @module */
export type {
  Analysis,
  Arm,
  Cohort,
  Column,
  Columns,
  CompletedCells,
  Completion,
  Exclusion,
  FlowStep,
  Problem,
  ProcedureTable,
  ReadingLog,
  Severity,
  Visits,
} from "./cohort.ts";
export {
  butWith,
  columnAt,
  columnOf,
  columnsBeside,
  hasColumn,
  lazyColumns,
  numericColumn,
  textColumn,
} from "./columns.ts";
export { type AsPlanned, planned } from "./as-planned.ts";
