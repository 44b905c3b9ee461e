/**
 * Rows as proportional hazards regression takes them: design, risk sets, sums of products,
 * follow-up split at cut times.
 *
 * @module
 */
export { blockEnd, type CoxDesign, coxDesign, keepCovariates } from "./design.ts";
export { addWeightedProducts, mirror, panel } from "./products.ts";
export { exposure, type RiskSets, riskSets, walkRiskSets } from "./risk-sets.ts";
export {
  type ClusterCodes,
  clustersAt,
  keepColumns,
  type ScaledColumns,
} from "./scaled-columns.ts";
export { type SplitFollowUp, splitFollowUp } from "./split-follow-up.ts";
