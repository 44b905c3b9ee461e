/** What looks like a name, a number of a person, a date, a place or a contact. @module */
export { ageOf } from "./column.ts";
export { type IdentifierFinding, identifierMessage, remedyOf } from "./findings.ts";
export { identifierOfHeading, isOperationDate } from "./headings.ts";
export { type IdentifierKind, identifierKinds } from "./kinds.ts";
export { type ExpectedColumn, type IdentifierScan, identifierScan } from "./scan.ts";
export { looksLikeName } from "./values.ts";
