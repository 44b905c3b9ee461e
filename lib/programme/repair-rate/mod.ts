/** How often what could be repaired was repaired. @module */
export { chanceOutsideFunnel } from "./chance-outside.ts";
export { funnelLimits } from "./funnel-limits.ts";
export {
  type StandardizedRates,
  standardizedRates,
  type StandardizedUnit,
} from "./standardized-rates.ts";
