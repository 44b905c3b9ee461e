export type {
  Analysis,
  Arm,
  Cohort,
  Column,
  Columns,
  Exclusion,
  FlowStep,
  Problem,
  ProcedureTable,
  ReadingLog,
  Severity,
  Visits,
} from "./cohort.ts";
export { columnOf, hasColumn, numericColumn, textColumn } from "./columns.ts";
