/** What readers see: notebooks run, tables, sentences, pages and files. @module */
import { showWarnings } from "./show/mod.ts";
export type {
  FindingData,
  FindingGroup,
  FindingInput,
  GroupLabels,
  NoteInput,
  PlanStatus,
  TableColumn,
  TableHeading,
  TableInput,
  TableRow,
} from "./items/mod.ts";
export {
  display,
  type Displayable,
  displayAll,
  displayHook,
  type DisplayTable,
  type Finding,
  finding,
  findingSentence,
  type MediaBundle,
  type Note,
  note,
  type Remark,
  say,
  table,
  type Verdict,
  verdictOf,
  verdictSentence,
} from "./show/mod.ts";
export {
  balanceLines,
  type ComparedIncidence,
  type ComparedSurvival,
  compareIncidence,
  compareSurvival,
  contrastTable,
  differencesTable,
  earlyEventTable,
  effectiveSizeTable,
  type ExpectedLine,
  expectedLines,
  expectedTable,
  findingOf,
  finerTable,
  gradeBars,
  gradeTable,
  type HazardLine,
  hazardTable,
  type IntentionLine,
  intentionTable,
  maskedRows,
  matchingChoiceTable,
  matchingOrderTable,
  type MethodLine,
  methodTable,
  periodTable,
  type PublishableGradeGroup,
  type PublishableGrades,
  publishableGrades,
  type RateLine,
  rateTable,
  type RatioLine,
  ratioLine,
  ratioTable,
  type RepeatedLine,
  repeatedTable,
  type SubgroupLine,
  subgroupTable,
  weightChoiceTable,
  type YearsOfLifeLine,
  yearsOfLifeTable,
} from "./tables/mod.ts";
export {
  type ComparedPair,
  contrastAt,
  type GridCell,
  gridTable,
  type GridVerdict,
  hundredfold,
  type LedgerLine,
  ledgerTable,
  type ShownContrast,
} from "./pair-tables/mod.ts";
export * from "./sentences/mod.ts";

export * from "./choice-tables/mod.ts";
export * from "./cohort-tables/mod.ts";
export * from "./programme-tables/mod.ts";
export * from "./ledger/mod.ts";
export * from "./results/mod.ts";
export * from "./checks/mod.ts";
export * from "./valve-tables/mod.ts";
export * from "./techniques/mod.ts";
export * from "./valves/mod.ts";

// whoever has the library has its warnings shown, in a place where anything is shown
showWarnings();
