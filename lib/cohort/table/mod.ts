/** Records of one file as typed columns, with every problem listed. @module */
export { linkVisits } from "./link-visits.ts";
export { type PseudonymIndex, pseudonymIndex } from "./pseudonym-index.ts";
export { type ExportTaking, readTable } from "./read-table.ts";
export { type RuleCost, ruleCosts } from "./rule-costs.ts";
export { settleErrors } from "./settle-errors.ts";
export { type Finding, report, reportUnlisted, type Table, type UnreadCell } from "./table.ts";
