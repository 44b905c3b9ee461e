/** One cell of a file: what it says, in which unit, and whether it may be shown. @module */
export { bodySurface, centimetres, filtrationRate, kilograms } from "./body-measures.ts";
export { type CellFault, type ColumnReader, columnReader } from "./column-reader.ts";
export { codeKey, type Conversion, factorFrom, unitsFor } from "./convert.ts";
export { type DateOrder, dateOrders, dayOf, isDate, yearOf, yearsBetween } from "./date-cell.ts";
export { type Derived, deriver, operationOfPatient, placesByDay, sourcesOf } from "./derive.ts";
export {
  blank,
  codeStore,
  type HeldColumn,
  heldNumbers,
  medianOf,
  numberAt,
  numbersOf,
  numberStore,
  publishedColumn,
  textAt,
} from "./held-columns.ts";
export {
  heldAt,
  type HeldRows,
  lazyOf,
  publishedColumns,
  stillHeld,
  withLazy,
} from "./published-columns.ts";
export { type HeldTexts, heldTextsOf, sameText, textStore } from "./held-texts.ts";
export { numberOf } from "./number-cell.ts";
export { shownNumber, shownText, shownTogether } from "./shown-value.ts";
export { plainWords, wordFinder } from "./text-words.ts";
export { lookLikeNames, looksLikeCode, looksLikeColumnName, looksLikeDate } from "./suspicion.ts";
