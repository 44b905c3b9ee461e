/**
 * Two groups compared: one ratio, one ratio a period, and those who came past a landmark.
 *
 * @module
 */
export { type FromLandmark, fromLandmark } from "./from-landmark.ts";
export {
  groupAsCovariate,
  type GroupHazardRatio,
  groupHazardRatio,
  type GroupRatioByPeriod,
  groupRatioByPeriod,
  type TwoGroupFollowUp,
} from "./group-hazard-ratio.ts";
export { type RatioOverTime, ratioOverTime } from "./ratio-over-time.ts";
