/** What a cell can show: tables, sentences, findings. @module */
export type {
  FindingData,
  FindingGroup,
  FindingInput,
  GroupLabels,
  NoteInput,
  TableColumn,
  TableHeading,
  TableInput,
  TableRow,
} from "../items/mod.ts";
export {
  display,
  type Displayable,
  displayAll,
  displayChannel,
  displayHook,
  isDisplayable,
  type MediaBundle,
  mitralMediaType,
  textOf,
} from "./display.ts";
export {
  answerLines,
  differenceWords,
  findingParts,
  findingSentence,
  resultSentence,
  verdictSentence,
} from "./finding-words.ts";
export { headlineFindings } from "./headline-findings.ts";
export { type Verdict, verdictOf, verdictOfRange } from "./verdict.ts";
export { type Finding, finding, type Note, note, publishedFinding } from "./finding.ts";
export { labelOf, sentence } from "./plan-words.ts";
export { showWarnings, warningNote } from "./warnings.ts";
export { pairColumns, type PairKey, pairOf, pairRow } from "./printed-pair.ts";
export { type Remark, say } from "./say.ts";
export {
  cellText,
  type DisplayTable,
  headingText,
  kindOf,
  printedColumns,
  table,
  tableTree,
} from "./table.ts";
