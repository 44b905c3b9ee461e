export { soughtSubgroup } from "./sought-subgroup.ts";
export { type SoughtThreshold, soughtThreshold, type ThresholdEffect } from "./sought-threshold.ts";
