/** Nothing leaves from which a reader could work out a count of too few. @module */
export {
  type DocumentsRead,
  readDocuments,
  type RunsRead,
  withoutFromDocuments,
} from "./documents.ts";
export { type Sealed, type SealProof, sealRuns, whatIsLearnt, withDocuments } from "./seal.ts";
export { KeptJudgements } from "./seal-memory.ts";
export { withoutSentences } from "./without-sentences.ts";
