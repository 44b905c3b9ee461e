/** From two files to the patients analysed: reading, checking, eligibility, follow-up. @module */
export {
  appliesTo,
  type Frame,
  type FrameGroups,
  frameOf,
  type FrameSeries,
  patientsAmong,
  selectEligible,
  sideCounts,
  summaryOf,
  type SummaryRow,
  thresholdHolds,
} from "./analysis/mod.ts";
export {
  deidentify,
  type DeidentifyOptions,
  type DeidentifyRecord,
  type TableRecord,
} from "./deidentify/mod.ts";
export {
  type Category,
  cohortJsonSchema,
  type ColumnType,
  type Condition,
  dictionary,
  type DictionaryColumn,
  dictionaryColumn,
  isConfounder,
  isNumeric,
  type Stage,
  type TableName,
} from "./dictionary/mod.ts";
export {
  type FileFormat,
  formatInWords,
  type FormatOptions,
  type ReadingProgress,
} from "./file/mod.ts";
export {
  armWarnings,
  type CompletenessRow,
  type EarlyEvent,
  earlyEvents,
  echoSchedule,
  type EchoScheduleRow,
  type EndpointFollowUp,
  followUpCompleteness,
  followUpOf,
  type GradeHistory,
  gradeHistory,
  type LeftOut,
  type MarkCount,
  missingness,
  type MissingnessRow,
  type RecurrenceIntervals,
  recurrenceIntervals,
  type RecurrenceLookedFor,
  recurrenceLookedFor,
  type ValveCourse,
  valveCourse,
  type ValveEvent,
  valveEvents,
  type VentricleAfter,
  ventricleAfter,
  type VisitHistory,
  visitHistory,
} from "./follow-up/mod.ts";
export { type IdentifierFinding, identifierScan } from "./identifiers/mod.ts";
export {
  type Analysis,
  type Arm,
  type Cohort,
  type Column,
  type Columns,
  type Exclusion,
  type FlowStep,
  hasColumn,
  numericColumn,
  type Problem,
  type ProcedureTable,
  type ReadingLog,
  type Severity,
  textColumn,
  type Visits,
} from "./model/mod.ts";
export { type AsPlanned, openAnalysis, type OpenedAnalysis } from "./open-analysis.ts";
export { type ExclusionRow, exclusionRows, type UnusedRow, unusedRows } from "./exclusions.ts";
export type { RuleCost } from "./table/mod.ts";
export {
  type Examination,
  examineCohort,
  groupProblems,
  type ProblemGroup,
  readCohort,
  type ReadingOptions,
  summariseProblems,
} from "./read.ts";
