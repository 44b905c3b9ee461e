/** What every stage stands on: columns, order, distributions, small linear algebra, seeded random numbers. @module */
export { type BetaFactor, betaProductQuantile } from "./beta-product.ts";
export { chiSquareResult } from "./chi-square-result.ts";
export {
  binaryColumn,
  checkChoice,
  checkConfidence,
  checkLength,
  checkNumber,
  covariateColumns,
  type FollowUp,
  type FollowUpColumns,
  followUpColumns,
  type GroupColumn,
  groupColumn,
  type Labels,
  numberColumn,
  type Numbers,
} from "./columns.ts";
export { checkDataColumns, FOLLOW_UP } from "./data-columns.ts";
export { type Direction, directionOf } from "./direction.ts";
export { distributions } from "./distributions.ts";
export { DataError } from "./errors.ts";
export { filterRows } from "./filter-rows.ts";
export {
  type Factor,
  factorSymmetric,
  invertFactored,
  multiplySquare,
  quadraticForm,
  solveFactored,
  solveTransposed,
} from "./linear.ts";
export { momentsOf } from "./moments.ts";
export { orderOf, sortedColumn } from "./order.ts";
export { quantileOfSorted, weightedQuantiles } from "./quantile.ts";
export { SeededRandom } from "./random.ts";
export type { Interval, Test } from "./results.ts";
export { pValueOfLimits, squareAndAdd } from "./square-and-add.ts";
export {
  correlationOf,
  covarianceOf,
  meanOf,
  type Quartiles,
  quartilesOf,
  sampleSpreadOf,
  spreadOf,
} from "./summaries.ts";
export { TIE_TOLERANCE } from "./ties.ts";
export { onWarning, quietly, raised } from "./warnings.ts";
export { twoSidedP } from "./two-sided.ts";
export { addProducts, BLOCK, mirrorLower } from "./cross-products.ts";
export { answerTasks, inWorkers, type SharedWork } from "./in-workers.ts";
export { invertTail } from "./invert-tail.ts";
