export { isPlanned, openStudy, provenance, studyOf } from "./open.ts";
export type { FileRecord, RunPaths, Study } from "./open.ts";
export { type ProblemLine, ProblemsError } from "./problems.ts";
export type { DerivedRule, MappedSource, Mapping, Unit, WaivableKind } from "./mapping-schema.ts";
export { parsePlan, studyJsonSchema } from "./schema.ts";
export type {
  EligibilityRule,
  EndpointId,
  Plan,
  PlannedCovariate,
  PlannedEndpoint,
  Threshold,
} from "./schema.ts";
