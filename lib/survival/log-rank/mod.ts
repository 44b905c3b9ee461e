/** Tests of whole curves. @module */
export {
  type LogRankMax,
  logRankMax,
  type LogRankMaxOptions,
  type TimePowers,
} from "./log-rank-max.ts";
export type { GroupedFollowUp } from "./log-rank-sums.ts";
export { type LogRank, logRank, type LogRankOptions, type TimeWeighting } from "./log-rank.ts";
