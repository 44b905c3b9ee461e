/** The parts that a study file is put together from. @module */
export { type CovariateInput, covariateSchema } from "./adjustment.ts";
export { comparisonSchema } from "./comparisons.ts";
export { eligibilitySchema } from "./eligibility.ts";
export { type BuiltInEndpoint, builtInEndpoints, endpointSchema, isBuiltIn } from "./endpoints.ts";
export { groupsSchema } from "./groups.ts";
export { matchingSchema } from "./matching.ts";
export { missingSchema } from "./missing.ts";
export { column, id, words } from "./names.ts";
export { ownColumnSchema } from "./own-columns.ts";
export { enoughSchema, populationSchema } from "./populations.ts";
export { programmeSchema } from "./programme.ts";
export { namedBy, type Rule, ruleSchema } from "./rules.ts";
export { thresholdSchema, thresholdSource } from "./thresholds.ts";
