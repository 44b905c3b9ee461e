/**
 * The choices a plan makes in weighting and matching, each beside its alternatives; no outcome is
 * looked at.
 *
 * @module
 */
export {
  type MatchedEachWay,
  matchedEachWay,
  type MatchingChoice,
  matchingChoices,
} from "./matching-choices.ts";
export { type ScoreGroup, scoreGroups } from "./score-groups.ts";
export { type WeightChoice, weightChoices } from "./weight-choices.ts";
