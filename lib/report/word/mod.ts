/**
 * Parts of a Word document: tables in the manner of a journal, and the same bytes each time.
 *
 * @module
 */
export { reproducible } from "./reproducible.ts";
export { bodyText, figureLegend, margin, pageOf, portrait, run, tableBlock } from "./word-table.ts";
