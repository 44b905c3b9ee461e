/**
 * Word files, and the pictures in them, which take as long as all pages together: made beside them.
 *
 * @module
 */
export { wordFiles, type WordMaker } from "./word-files.ts";
export { wordFilesBeside } from "./word-files-beside.ts";
