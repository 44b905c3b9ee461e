/** Bias that the data cannot show: unmeasured confounders and hidden allocation. @module */
export { eValue, riskRatioFromHazardRatio, riskRatioFromOddsRatio } from "./e-value.ts";
export {
  type RosenbaumBounds,
  rosenbaumBounds,
  rosenbaumThreshold,
  signedRankBounds,
} from "./rosenbaum-bounds.ts";
export { confounderBias, type ConfounderPlan } from "./confounder-bias.ts";
export {
  type ConfounderYardstick,
  confounderYardstick,
  type MeasuredStrength,
} from "./confounder-yardstick.ts";
export {
  type CorrectedDifference,
  misreadOutcome,
  type ReadingAccuracy,
  type ReadProportion,
} from "./misread-outcome.ts";
export { type NegativeControl, negativeControl } from "./negative-control.ts";
export type { Prior } from "./prior.ts";
export {
  type ConfoundedEstimate,
  type DrawnRange,
  type SupposedConfounder,
  supposedConfounder,
} from "./supposed-confounder.ts";
export {
  type KnownByTime,
  seenByTime,
  stateByTime,
  type TippingMap,
  tippingMap,
} from "./tipping-map.ts";
