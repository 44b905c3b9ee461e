export type { Pair } from "./match-greedy.ts";
export { type MatchData, type Matches, type MatchOptions, matchPairs } from "./match-pairs.ts";
export { type Propensity, propensityScore } from "./propensity.ts";
