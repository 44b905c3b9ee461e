/** The study file as a whole: its schema, its checks, and the words of its groups. @module */
export { type GroupPhrases, groupPhrases } from "./group-phrases.ts";
export { parsePlan, studyJsonSchema } from "./parse.ts";
export {
  type EligibilityRule,
  type EndpointId,
  type OwnColumn,
  type Plan,
  type PlannedArm,
  type PlannedComparison,
  type PlannedCovariate,
  type PlannedEndpoint,
  type PlannedPopulation,
  planSchema,
  type Threshold,
} from "./schema.ts";
export { type StrayWords, strayWords } from "./stray-words.ts";
