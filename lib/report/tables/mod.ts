/** Results as tables. @module */
export { type MethodLine, methodTable, type RepeatedLine, repeatedTable } from "./design-tables.ts";
export { type ComparedIncidence, compareIncidence } from "./compared-incidence.ts";
export { type ComparedSurvival, compareSurvival } from "./compared-survival.ts";
export { expectedLines } from "./expected-lines.ts";
export {
  type HazardLine,
  hazardTable,
  periodTable,
  type YearsOfLifeLine,
  yearsOfLifeTable,
} from "./survival-tables.ts";
export { type ExpectedLine, expectedTable } from "./expected-table.ts";
export {
  gradeBars,
  gradeTable,
  type PublishableGradeGroup,
  type PublishableGrades,
  publishableGrades,
} from "./grade-table.ts";
export { type IntentionLine, intentionTable } from "./intention-table.ts";
export { earlyEventTable, type RateLine, rateTable } from "./rate-table.ts";
export {
  contrastTable,
  findingOf,
  maskedRows,
  type RatioLine,
  ratioLine,
  ratioTable,
  type SubgroupLine,
  subgroupTable,
} from "./result-tables.ts";
export {
  balanceLines,
  differencesTable,
  effectiveSizeTable,
  finerComparisons,
  finerTable,
  matchingChoiceTable,
  matchingOrderTable,
  plannedName,
  weightChoiceTable,
} from "./balance-tables.ts";
