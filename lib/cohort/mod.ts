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
export { cohortJsonSchema } from "./dictionary-schema.ts";
export { examineCohort, groupProblems, readCohort, summariseProblems } from "./read.ts";
export type { Examination, ProblemGroup, ReadingOptions } from "./read.ts";
export { formatInWords } from "./file-format.ts";
export type { FileFormat, FormatOptions, ReadingProgress } from "./file-format.ts";
export { selectEligible } from "./eligible.ts";
export { type ExclusionRow, exclusionRows } from "./exclusions.ts";
export { followUpOf, recurrenceIntervals } from "./endpoints.ts";
export type { EndpointFollowUp, LeftOut, RecurrenceIntervals } from "./endpoints.ts";
export { type RecurrenceLookedFor, recurrenceLookedFor } from "./looked-for.ts";
export { echoSchedule, followUpCompleteness } from "./schedule.ts";
export type { CompletenessRow, EchoScheduleRow } from "./schedule.ts";
export { armWarnings, missingness, type MissingnessRow } from "./missingness.ts";
export { sideCounts, thresholdHolds } from "./threshold.ts";
export { type MarkCount, type VentricleAfter, ventricleAfter } from "./ventricle.ts";
export { type EarlyEvent, earlyEvents, type ValveEvent, valveEvents } from "./valve-events.ts";
export { type ValveCourse, valveCourse } from "./valve-course.ts";
export {
  type GradeHistory,
  gradeHistory,
  type VisitHistory,
  visitHistory,
} from "./visit-history.ts";
export { frameOf, summaryOf } from "./frame.ts";
export type { Frame, FrameGroups, FrameSeries, SummaryRow } from "./frame.ts";
export { deidentify } from "./deidentify.ts";
export type { DeidentifyOptions, DeidentifyRecord, TableRecord } from "./deidentify.ts";
export type { IdentifierFinding } from "./identifier-findings.ts";
export { identifierScan } from "./identifier-scan.ts";
