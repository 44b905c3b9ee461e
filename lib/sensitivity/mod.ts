export { type Bootstrap, bootstrap, resampler, type ResamplingUnits } from "./bootstrap.ts";
export { eValue, riskRatioFromHazardRatio, riskRatioFromOddsRatio } from "./e-value.ts";
export { type PooledEstimate, poolImputations } from "./pool-imputations.ts";
export {
  type HazardPlan,
  powerForEvents,
  requiredEvents,
  requiredPatients,
} from "./required-events.ts";
export {
  type RosenbaumBounds,
  rosenbaumBounds,
  rosenbaumThreshold,
  signedRankBounds,
} from "./rosenbaum-bounds.ts";
