export { dictionary, dictionaryColumn, isConfounder, isNumeric } from "./dictionary.ts";
export type {
  Category,
  ColumnType,
  Condition,
  DictionaryColumn,
  Stage,
  TableName,
} from "./dictionary.ts";
export { hasColumn, numericColumn, textColumn } from "./types.ts";
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
} from "./types.ts";
