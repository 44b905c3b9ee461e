/** Outcomes in several arms, pair by pair. @module */
export {
  type ArmContrast,
  type ArmFollowUp,
  armIncidenceDifferences,
  type ArmOptions,
  type ArmPairDifference,
  armSurvivalDifferences,
} from "./arm-differences.ts";
export { tailsOf } from "./simultaneous.ts";
