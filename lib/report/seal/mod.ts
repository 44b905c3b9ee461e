/** Nothing leaves from which a reader could work out a count of too few. @module */
export type { Readable, ReaderKnows } from "./facts.ts";
export { type Sealed, type SealProof, sealRuns, whatIsLearnt } from "./seal.ts";
