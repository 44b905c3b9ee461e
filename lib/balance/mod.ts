export { balancingWeights, type Estimand } from "./balancing-weights.ts";
export { categoricalDifference } from "./categorical-difference.ts";
export { distributionDistance } from "./distribution-distance.ts";
export { effectiveSampleSize } from "./effective-sample-size.ts";
export { type EntropyWeights, entropyWeights } from "./entropy-weights.ts";
export { estimandInWords } from "./estimand-in-words.ts";
export type { Pair } from "./match-greedy.ts";
export { type MatchData, type Matches, type MatchOptions, matchPairs } from "./match-pairs.ts";
export { populationWeights } from "./population-weights.ts";
export { type Propensity, propensityScore } from "./propensity.ts";
export { standardizedDifference } from "./standardized-difference.ts";
export { varianceRatio } from "./variance-ratio.ts";
export {
  type AdjustedWeights,
  type BalanceTable,
  balanceTable,
  type BeforeAfter,
  type CovariateBalance,
} from "./balance-table.ts";
export { characteristics, type CharacteristicsTable } from "./characteristics.ts";
export { type DesignMatrix, designMatrix, type Imputed } from "./design-matrix.ts";
export { type MatchedSample, matchedSample } from "./matched-sample.ts";
export { type Overlap, overlapOf } from "./overlap.ts";
export { type StudyPropensity, studyPropensity } from "./study-propensity.ts";
export { unmatchedProfile } from "./unmatched-profile.ts";
export {
  type GroupWeights,
  type Truncation,
  type WeightedSample,
  weightedSample,
} from "./weighted-sample.ts";
export {
  type DesignedFollowUp,
  type PairedRows,
  unadjusted,
  underMatching,
  underWeights,
} from "./under-design.ts";
export { plannedWeights, rematcher, reweighter, scoredColumns } from "./resampled.ts";
export {
  rematchColumns,
  type RematchedSample,
  reweightColumns,
  type ScoredColumns,
} from "./resampled-columns.ts";
export { type MeasurementWeights, measurementWeights } from "./measurement-weights.ts";
