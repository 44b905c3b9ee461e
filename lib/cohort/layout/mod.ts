/** Where a table lies in its file: titles above it, names in two lines, merged cells. @module */
export { findHeader, type FoundHeader, type HeadRecord } from "./find-header.ts";
export { joinedNames, type Layout, readLaidOut } from "./laid-out.ts";
