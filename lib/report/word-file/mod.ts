/** Word files as archives of parts, whoever wrote them. @module */
export { reproducible } from "./reproducible.ts";
export { writeKept, type WrittenDocument, type WrittenTables } from "./write-kept.ts";
