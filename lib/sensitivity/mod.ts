/** What would have to be true for the answer to change. @module */
export {
  type ConfoundedEstimate,
  confounderBias,
  type ConfounderPlan,
  type ConfounderYardstick,
  confounderYardstick,
  type CorrectedDifference,
  type DrawnRange,
  eValue,
  type KnownByTime,
  type MeasuredStrength,
  misreadOutcome,
  type NegativeControl,
  negativeControl,
  type Prior,
  type ReadingAccuracy,
  type ReadProportion,
  riskRatioFromHazardRatio,
  riskRatioFromOddsRatio,
  type RosenbaumBounds,
  rosenbaumBounds,
  rosenbaumThreshold,
  seenByTime,
  signedRankBounds,
  stateByTime,
  type SupposedConfounder,
  supposedConfounder,
  type TippingMap,
  tippingMap,
} from "./bias/mod.ts";
export {
  type Bootstrap,
  bootstrap,
  bootstrapInWorkers,
  type ChosenLimits,
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
export {
  type PreferenceInstrument,
  preferenceInstrument,
  type StudyInstrument,
  studyInstrument,
} from "./surgeon/mod.ts";
export * from "./orders/mod.ts";
export { type LimitedQuantity, type SoundTo, soundTo } from "./calibrated/mod.ts";
