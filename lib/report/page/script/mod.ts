/** What makes the page easier to read; it does without. @module */
export { pageScript } from "./page-script.ts";
