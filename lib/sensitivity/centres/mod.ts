/** Estimates of several centres or populations, pooled and shrunken. @module */
export type { CentreEstimates } from "./centre-columns.ts";
export { poolCentres, type PooledCentres } from "./pool-centres.ts";
export {
  type ShrunkenEstimate,
  type ShrunkenEstimates,
  shrunkenEstimates,
} from "./shrunken-estimates.ts";
