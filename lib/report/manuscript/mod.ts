/** A draft for a journal: the text in Word, and its figures as drawings. @module */
export { manuscriptFiles } from "./manuscript-files.ts";
