/** Who is paired with whom. @module */
export type { Pair } from "./greedy.ts";
export {
  type MatchData,
  type Matches,
  type MatchOptions,
  matchPairs,
  wholeSearch,
} from "./match-pairs.ts";
export { setsOf } from "./matched-sets.ts";
