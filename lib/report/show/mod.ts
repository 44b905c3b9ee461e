/** What a cell can show: tables, sentences, findings. @module */
export {
  display,
  type Displayable,
  displayChannel,
  displayHook,
  isDisplayable,
  type MediaBundle,
  textOf,
} from "./display.ts";
export { escapeHtml } from "./escape.ts";
export {
  answerLines,
  differenceWords,
  type FindingData,
  findingParts,
  findingSentence,
  headlineFindings,
  type Verdict,
  verdictOf,
  verdictSentence,
} from "./finding-words.ts";
export {
  type Finding,
  finding,
  type FindingGroup,
  type FindingInput,
  type Note,
  note,
  type NoteInput,
  publishedFinding,
} from "./finding.ts";
export { labelOf, sentence } from "./plan-words.ts";
export { type Remark, say } from "./say.ts";
export {
  cellText,
  type DisplayTable,
  headingText,
  kindOf,
  table,
  type TableColumn,
  tableHtml,
  type TableInput,
  type TableRow,
} from "./table.ts";
