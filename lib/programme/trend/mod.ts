/** Change over calendar years, at dates named beforehand. @module */
export {
  type SegmentedTrend,
  segmentedTrend,
  type TrendChange,
  type TrendYear,
} from "./segmented-trend.ts";
