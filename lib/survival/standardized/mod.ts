/** Survival that a model says all patients would have under each treatment. @module */
export {
  type DoublyRobustOptions,
  type DoublyRobustSurvival,
  doublyRobustSurvival,
  type TargetPopulation,
} from "./doubly-robust-survival.ts";
export { standardizedBothWays } from "./modelled.ts";
export type { StandardizedContrast, StandardizedData } from "./standardized-contrast.ts";
export { type StandardizedSurvival, standardizedSurvival } from "./standardized-survival.ts";
