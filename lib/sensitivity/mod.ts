export { type Bootstrap, bootstrap, resampler, type ResamplingUnits } from "./bootstrap.ts";
export { bootstrapInWorkers, type WorkerOptions } from "./bootstrap-in-workers.ts";
export type { PortableStatistic, VectorStatistic } from "./replicates.ts";
export { type Procedure, procedureStatistic } from "./procedure.ts";
export {
  pairBootstrap,
  type ProcedureBootstrap,
  procedureBootstrap,
} from "./procedure-bootstrap.ts";
export { eValue, riskRatioFromHazardRatio, riskRatioFromOddsRatio } from "./e-value.ts";
export { type PooledEstimate, poolImputations } from "./pool-imputations.ts";
export {
  type HazardPlan,
  powerForEvents,
  requiredEvents,
  requiredPatients,
} from "./required-events.ts";
export { soughtSubgroup } from "./sought-subgroup.ts";
export { type SoughtThreshold, soughtThreshold, type ThresholdEffect } from "./sought-threshold.ts";
export {
  type RosenbaumBounds,
  rosenbaumBounds,
  rosenbaumThreshold,
  signedRankBounds,
} from "./rosenbaum-bounds.ts";
export { heldOut, type Optimism, optimism } from "./optimism.ts";
export * from "./centres/mod.ts";
export * from "./resampling/mod.ts";
export { confounderBias, type ConfounderPlan } from "./confounder-bias.ts";
