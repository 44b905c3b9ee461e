/**
 * The Word documents of a report, in the manner of a journal, and the same bytes each time.
 *
 * @module
 */
export { manuscriptDocx } from "./manuscript-docx.ts";
export { type DocumentTables, tablesDocx } from "./tables-docx.ts";
export type { WordParts } from "./word-document.ts";
