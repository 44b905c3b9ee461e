export {
  type HazardPlan,
  powerForEvents,
  requiredEvents,
  requiredPatients,
} from "./required-events.ts";
