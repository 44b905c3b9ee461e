/** Events known only to lie between two days. @module */
export { minorantTarget, type MinorantWork, minorantWork } from "./convex-minorant.ts";
export { innermostIntervals, sortEnds } from "./innermost.ts";
export {
  type IntervalCensored,
  type IntervalCensoredAt,
  type IntervalCensoredOptions,
  type IntervalCensoredSurvival,
  intervalCensoredSurvival,
} from "./interval-censored.ts";
export { maximiseMasses } from "./self-consistent.ts";
