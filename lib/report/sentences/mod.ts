/**
 * Sentences that notebooks show, written by rule from results and from the plan's words.
 *
 * @module
 */
export {
  type AdjustedDesign,
  balanceSentence,
  effectiveSentence,
  missingSentence,
  ofMeanScore,
  overlapSentence,
  pairsSentence,
  unlikeSentence,
} from "./balance-sentences.ts";
export {
  accountedFor,
  commonestSentence,
  endsSentence,
  followedSentence,
  knownSentence,
  medianFollowUpSentence,
  unequalSentence,
  whoWasStudied,
} from "./cohort-sentences.ts";
export { operationSentence } from "./operation-sentences.ts";
export { logRankSentence, orderSentence, yearsOfLifeSentence } from "./survival-sentences.ts";
