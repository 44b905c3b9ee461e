/** What pages are made from, read off each run once. @module */
export { partsOf, rememberParts } from "./run-parts.ts";
