/** The study file: the plan, its schema, and opening it. @module */
export {
  type FileRecord,
  isPlanned,
  openStudy,
  plannedName,
  provenance,
  type RunPaths,
  type Study,
  studyOf,
} from "./file/mod.ts";
export type { DerivedRule, MappedSource, Mapping, Unit, WaivableKind } from "./mapping/mod.ts";
export {
  type EligibilityRule,
  type EndpointId,
  type GroupPhrases,
  groupPhrases,
  type OwnColumn,
  parsePlan,
  type Plan,
  type PlannedArm,
  type PlannedComparison,
  type PlannedCovariate,
  type PlannedEndpoint,
  type PlannedPopulation,
  studyJsonSchema,
  type Threshold,
} from "./plan/mod.ts";
export { lockFor, lockPath, type PlanLock, planSha256, readLock, writeLock } from "./lock/mod.ts";
export {
  type BuiltInEndpoint,
  type CovariateInput,
  type Rule,
  thresholdSource,
} from "./parts/mod.ts";
export { type ProblemLine, ProblemsError } from "./problems/mod.ts";
