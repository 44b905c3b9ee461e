/** A clean copy of files that held identifiers. @module */
export {
  deidentify,
  type DeidentifyOptions,
  type DeidentifyRecord,
  type TableRecord,
} from "./deidentify.ts";
