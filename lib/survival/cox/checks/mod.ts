/**
 * What is asked of a fit: residuals, whether hazards are proportional, hazard ratios by period.
 *
 * @module
 */
export { type PeriodHazardRatios, periodHazardRatios } from "./period-hazard-ratios.ts";
export {
  type ProportionalHazardsOptions,
  type ProportionalHazardsTest,
  proportionalHazardsTest,
} from "./proportional-hazards.ts";
export {
  type CovariateResiduals,
  coxResiduals,
  type EventResiduals,
  type RowResiduals,
} from "./residuals.ts";
