/** The study file: the plan, its schema, and opening it. @module */
export { type GroupPhrases, groupPhrases } from "./group-phrases.ts";
export { commandLine, studyOptions } from "./command-line.ts";
export type { DerivedRule, MappedSource, Mapping, Unit, WaivableKind } from "./mapping-schema.ts";
export {
  type FileRecord,
  isPlanned,
  openStudy,
  plannedName,
  provenance,
  type RunPaths,
  type Study,
  studyOf,
} from "./open.ts";
export { type ProblemLine, ProblemsError } from "./problems.ts";
export {
  type EligibilityRule,
  type EndpointId,
  parsePlan,
  type Plan,
  type PlannedCovariate,
  type PlannedEndpoint,
  planSchema,
  studyJsonSchema,
  type Threshold,
} from "./schema.ts";
