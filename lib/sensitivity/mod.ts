/** What would have to be true for the answer to change. @module */
export {
  confounderBias,
  type ConfounderPlan,
  eValue,
  riskRatioFromHazardRatio,
  riskRatioFromOddsRatio,
  type RosenbaumBounds,
  rosenbaumBounds,
  rosenbaumThreshold,
  signedRankBounds,
} from "./bias/mod.ts";
export {
  type Bootstrap,
  bootstrap,
  bootstrapInWorkers,
  heldOut,
  type Optimism,
  optimism,
  pairBootstrap,
  type PortableStatistic,
  type Procedure,
  type ProcedureBootstrap,
  procedureBootstrap,
  procedureStatistic,
  resampler,
  type ResamplingUnits,
  type VectorStatistic,
  type WorkerOptions,
} from "./bootstrap/mod.ts";
export {
  type HazardPlan,
  powerForEvents,
  requiredEvents,
  requiredPatients,
} from "./precision/mod.ts";
export {
  soughtSubgroup,
  type SoughtThreshold,
  soughtThreshold,
  type ThresholdEffect,
} from "./sought/mod.ts";
export * from "./centres/mod.ts";
export * from "./resampling/mod.ts";
export {
  type ChoiceInfluence,
  choiceInfluence,
  type Choices,
  type Dimension,
  everyPath,
  type FailedPath,
  type Path,
  type Question,
  type SpecificationCurve,
  specificationCurve,
  studyChoices,
  type StudyPaths,
  studyPaths,
} from "./paths/mod.ts";
