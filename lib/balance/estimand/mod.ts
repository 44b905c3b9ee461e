/** Whom a comparison is about. @module */
export { estimandInWords } from "./estimand-in-words.ts";
