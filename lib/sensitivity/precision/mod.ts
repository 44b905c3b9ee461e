/** How many events a question needs. @module */
export {
  type HazardPlan,
  powerForEvents,
  requiredEvents,
  requiredPatients,
} from "./required-events.ts";
