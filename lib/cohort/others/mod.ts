/** Tables that a study names beside its two. @module */
export { type OtherTable, otherTable, otherTableProblems } from "./other-table.ts";
