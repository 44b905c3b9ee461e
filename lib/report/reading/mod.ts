/** What follows from everything that is published: tables, drawings, sentences. @module */
export {
  type Facts,
  Notes,
  type Place,
  placeText,
  type Readable,
  type ReaderKnows,
  type SaidSentence,
  type ShownFinding,
} from "./facts.ts";
export { readAll } from "./read.ts";
export { Gathered, sentencesOf, sentencesOfRuns } from "./said.ts";
export { readSentence } from "./sentences.ts";
