/** What the pages of a report are put together from. @module */
export { cautions, standingCautions } from "./cautions.ts";
export { contentsTree, type Section } from "./contents.ts";
export { failuresTree } from "./failures.ts";
export { footerTree } from "./footer.ts";
export { notebookTitle } from "./notebook-title.ts";
export {
  cellAnchor,
  figureTree,
  findingTree,
  methodAnchor,
  noteTree,
  origin,
  scrolling,
  sentenceTree,
  statusBadge,
  tableItemTree,
} from "./items-on-page.ts";
export {
  anchorOf,
  inSupplement,
  onOwnPage,
  type Place,
  rowAnchor,
  supplementFile,
} from "./place.ts";
export { rangeStrip } from "./range-strip.ts";
export { type AnchoredTable, rememberTable, tableMarkup } from "./table-on-page.ts";
