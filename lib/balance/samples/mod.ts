/**
 * The samples that outcomes are compared in: whole, matched, weighted, and each drawn anew.
 *
 * @module
 */
export {
  type DesignedFollowUp,
  type FollowedRows,
  pairedFollowUp,
  type PairedRows,
  type SampleWeights,
  unadjusted,
  underMatching,
  underWeights,
} from "./followed-under-design.ts";
export { alikeLabels, type MatchedSample, matchedSample, plannedSearch } from "./matched-sample.ts";
export {
  rematchColumns,
  type RematchedSample,
  reweightColumns,
  type ScoredColumns,
} from "./resampled-columns.ts";
export {
  plannedWeights,
  rematcher,
  reweighter,
  scoredColumns,
  scoredColumnsOf,
} from "./resampled.ts";
export {
  type GroupWeights,
  type Truncation,
  type WeightedSample,
  weightedSample,
} from "./weighted-sample.ts";
