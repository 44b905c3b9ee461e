/** Bias that the data cannot show: unmeasured confounders and hidden allocation. @module */
export { eValue, riskRatioFromHazardRatio, riskRatioFromOddsRatio } from "./e-value.ts";
export {
  type RosenbaumBounds,
  rosenbaumBounds,
  rosenbaumThreshold,
  signedRankBounds,
} from "./rosenbaum-bounds.ts";
export { confounderBias, type ConfounderPlan } from "./confounder-bias.ts";
