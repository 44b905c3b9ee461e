/**
 * Word files and the pictures in them, which take as long as all pages together: made in workers
 * while the pages are written.
 *
 * @module
 */
export { type WordFiles, wordFiles } from "./word-files.ts";
export { type BesideMaker, wordFilesBeside } from "./word-files-beside.ts";
