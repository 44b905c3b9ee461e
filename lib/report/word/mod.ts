/**
 * Word documents: tables in the manner of a journal, and the same bytes each time.
 *
 * @module
 */
export { reproducible } from "./reproducible.ts";
export { figureLegend, pageOf, run, tableBlock, upright } from "./word-table.ts";
export { wordDocument } from "./word-document.ts";
export { type DocumentTables, tablesDocx } from "./tables-docx.ts";
