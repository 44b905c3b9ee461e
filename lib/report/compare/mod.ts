/** What differs between two runs. @module */
export { type PlanDifference, planDifferences } from "./plans.ts";
