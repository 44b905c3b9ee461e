/** How many events a question needs. @module */
export {
  type ExpectedComparison,
  type ExpectedPrecision,
  expectedPrecision,
} from "./expected-precision.ts";
export {
  type HazardPlan,
  powerForEvents,
  requiredEvents,
  requiredPatients,
} from "./required-events.ts";
