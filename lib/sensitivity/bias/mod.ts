export { eValue, riskRatioFromHazardRatio, riskRatioFromOddsRatio } from "./e-value.ts";
export {
  type RosenbaumBounds,
  rosenbaumBounds,
  rosenbaumThreshold,
  signedRankBounds,
} from "./rosenbaum-bounds.ts";
export { confounderBias, type ConfounderPlan } from "./confounder-bias.ts";
