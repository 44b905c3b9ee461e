/** Regression of the subdistribution hazard. @module */
export type { CensoringRiskSet } from "./design.ts";
export type {
  PredictedIncidence,
  SubdistributionData,
  SubdistributionFit,
  SubdistributionOptions,
} from "./fit.ts";
export { type IncidenceByMeasurement, incidenceByMeasurement } from "./incidence-by-measurement.ts";
export {
  type SubdistributionProportionality,
  subdistributionProportionality,
  type SubdistributionTime,
} from "./proportionality.ts";
export { subdistributionRegression } from "./subdistribution-regression.ts";
export { type ConstantRatio, twoHazardRatios } from "./two-hazards.ts";
