/** A whole procedure repeated on patients drawn anew. @module */
export {
  bootstrapInWorkers,
  replicateJob,
  SMALL_PILOT,
  type WorkerOptions,
} from "./bootstrap-in-workers.ts";
export { bootstrap, bootstrapPlan } from "./bootstrap.ts";
export { jobKey, type KeptReplicates, replicatesFrom, replicatesText } from "./kept-replicates.ts";
export { rangeOfPart, type ReplicateJob, replicatesOfPart } from "./replicate-range.ts";
export { leaver, resampler, type ResamplingUnits } from "./draws.ts";
export type { Bootstrap, ChosenLimits } from "./summary.ts";
export { heldOut, type Optimism, optimism, optimismOfEach } from "./optimism.ts";
export {
  pairBootstrap,
  pairJob,
  type ProcedureBootstrap,
  procedureBootstrap,
  type ProcedureBootstrapOptions,
  type ProcedureData,
  procedureJob,
} from "./procedure-bootstrap.ts";
export { type Procedure, procedureStatistic } from "./procedure.ts";
export type { PortableStatistic, VectorStatistic } from "./replicates.ts";
