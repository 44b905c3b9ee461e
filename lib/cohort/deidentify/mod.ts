/** A clean copy of files that held identifiers. @module */
export {
  deidentify,
  type DeidentifyOptions,
  type DeidentifyRecord,
  type TableRecord,
} from "./deidentify.ts";
export {
  type CleanCopy,
  type CleanCopyOptions,
  type CleanTable,
  makeCleanCopy,
} from "./clean-copy.ts";
export type { Aloneness } from "./aloneness.ts";
export type { RawFile } from "./read.ts";
export type { KnownPlan } from "./known-columns.ts";
