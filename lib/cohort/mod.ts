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
export { appliesTo } from "./applies.ts";
export { readCohort, summariseProblems } from "./read.ts";
export { selectEligible } from "./eligible.ts";
export { followUpOf, recurrenceIntervals } from "./endpoints.ts";
export type { EndpointFollowUp, LeftOut, RecurrenceIntervals } from "./endpoints.ts";
