/**
 * The plan before outcomes are looked at: what it shows then, and what the report says of it.
 *
 * @module
 */
export { firstRunOf } from "./first-run.ts";
export { lockTree, lockWords, pValuesPrinted } from "./lock-words.ts";
