/** Cut-offs and subgroups found in the same data, with what that costs. @module */
export { soughtSubgroup } from "./sought-subgroup.ts";
export { type SoughtThreshold, soughtThreshold, type ThresholdEffect } from "./sought-threshold.ts";
