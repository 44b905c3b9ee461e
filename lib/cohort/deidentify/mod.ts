export {
  deidentify,
  type DeidentifyOptions,
  type DeidentifyRecord,
  type TableRecord,
} from "./deidentify.ts";
