/** Whether a difference is another on one side of a line, or along a measurement. @module */
export { interactionOverLines, type LineInteraction } from "./interaction-over-lines.ts";
export type { PermutationOptions } from "./interaction-test.ts";
export { type MeasurementInteraction, measurementInteraction } from "./measurement-interaction.ts";
export {
  dividesBothGroups,
  subgroupContrasts,
  type SubgroupDifference,
  subgroupDifference,
} from "./subgroup-difference.ts";
