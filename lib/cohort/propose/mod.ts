/**
 * What the columns of an unknown file may be: proposed with reasons, never applied unseen.
 *
 * @module
 */
export {
  type ColumnProfile,
  profileColumns,
  profileSheets,
  type TableProfile,
} from "./column-profile.ts";
export { nameSimilarity } from "./name-similarity.ts";
export {
  codeFor,
  isMissing,
  otherNamesOf,
  type ProposedColumn,
  proposeMapping,
  unitInHeading,
} from "./propose-mapping.ts";
export { matchSheets, proposeSheets } from "./sheets.ts";
