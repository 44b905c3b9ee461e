export { findingSentence, type Verdict, verdictOf, verdictSentence } from "./answer.ts";
export { display, type Displayable, type MediaBundle } from "./display.ts";
export {
  type Finding,
  finding,
  type FindingGroup,
  type FindingInput,
  type Note,
  note,
  type NoteInput,
} from "./finding.ts";
export {
  formatEstimate,
  formatNumber,
  formatP,
  formatPercent,
  formatPValue,
  formatRange,
} from "./format.ts";
export {
  type DisplayTable,
  table,
  type TableColumn,
  type TableInput,
  type TableRow,
} from "./table.ts";
export {
  completenessTable,
  flowTable,
  missingTable,
  procedureTable,
  publishableFlow,
  scheduleTable,
  warningMarkTable,
} from "./cohort-tables.ts";
export {
  contrastTable,
  findingOf,
  hundredfold,
  maskedRows,
  ratioLine,
  ratioTable,
  subgroupTable,
} from "./result-tables.ts";
export { type ExpectedLine, expectedTable } from "./expected-table.ts";
export { drawableShares, gradeTable, publishableGrades } from "./grade-table.ts";
export { earlyEventTable, type RateLine, rateTable } from "./rate-table.ts";
export { type Remark, say } from "./say.ts";
export { type IntentionLine, intentionTable } from "./intention-table.ts";
export {
  type MethodLine,
  methodTable,
  pairedTable,
  type RepeatedLine,
  repeatedTable,
} from "./design-tables.ts";
