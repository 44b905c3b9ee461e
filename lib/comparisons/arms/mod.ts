/**
 * Comparisons of several arms: who is in which, made alike, and their differences together.
 *
 * @module
 */
export {
  type ArmAnswers,
  armAnswers,
  type ArmEndpoint,
  type ArmPairContrast,
} from "./arm-answers.ts";
export { type ArmDesign, armDesign } from "./arm-design.ts";
export { type ComparisonAnswer, plannedComparisons } from "./planned-comparisons.ts";
export { type ArmRows, armRows } from "./arm-rows.ts";
