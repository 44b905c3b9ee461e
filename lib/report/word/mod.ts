/**
 * Parts of a Word document: tables in the manner of a journal, and the same bytes each time.
 *
 * @module
 */
export { reproducible } from "./reproducible.ts";
export {
  figureLegend,
  margin,
  pageOf,
  portrait,
  run,
  tableBlock,
  wordStyles,
} from "./word-table.ts";
export { tablesDocx } from "./tables-docx.ts";
