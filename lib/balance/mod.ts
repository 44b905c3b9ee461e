/**
 * How alike two or more groups are, and what makes them more alike: score, matching, weighting.
 *
 * @module
 */
export {
  categoricalDifference,
  differenceOfShares,
  distributionDistance,
  type Overlap,
  overlapOf,
  standardizedDifference,
  varianceRatio,
} from "./alike/mod.ts";
export {
  type MatchData,
  type Matches,
  type MatchOptions,
  matchPairs,
  type Pair,
} from "./match/mod.ts";
export {
  type DesignedFollowUp,
  type FollowedRows,
  type GroupWeights,
  type MatchedSample,
  matchedSample,
  pairedFollowUp,
  type PairedRows,
  plannedWeights,
  rematchColumns,
  type RematchedSample,
  rematcher,
  reweightColumns,
  reweighter,
  type SampleWeights,
  type ScoredColumns,
  scoredColumns,
  scoredColumnsOf,
  type Truncation,
  unadjusted,
  underMatching,
  underWeights,
  type WeightedSample,
  weightedSample,
} from "./samples/mod.ts";
export { estimandInWords } from "./estimand/mod.ts";
export {
  type DesignMatrix,
  designMatrix,
  type Imputed,
  type Propensity,
  propensityScore,
  type StudyPropensity,
  studyPropensity,
} from "./score/mod.ts";
export {
  type AdjustedWeights,
  type BalanceMeasures,
  type BalanceTable,
  balanceTable,
  type BeforeAfter,
  characteristics,
  type CharacteristicsTable,
  type CovariateBalance,
  earlyResults,
  unmatchedProfile,
  type WeightsInSets,
  whatWasDone,
} from "./tables/mod.ts";
export {
  balancingWeights,
  effectiveSampleSize,
  type EntropyWeights,
  entropyWeights,
  type Estimand,
  type MeasurementWeights,
  measurementWeights,
  populationWeights,
} from "./weigh/mod.ts";
export * from "./arms/mod.ts";
export * from "./choices/mod.ts";
