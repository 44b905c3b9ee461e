/** Sums, means, spreads, quantiles and small matrices. @module */
export { addProducts, BLOCK, mirrorLower } from "./cross-products.ts";
export {
  dot,
  type Factor,
  factorSymmetric,
  invertFactored,
  multiplyAround,
  multiplySquare,
  quadraticForm,
  solveFactored,
  solveTransposed,
} from "./linear.ts";
export { type Moments, momentsOf, momentsOfGroups } from "./moments.ts";
export { quantileOfSorted, weightedQuantiles } from "./quantile.ts";
export { pValueOfLimits, squareAndAdd } from "./square-and-add.ts";
export {
  correlationOf,
  covarianceOf,
  extentOf,
  meanOf,
  type Quartiles,
  quartilesOf,
  sampleSpreadOf,
  spreadOf,
} from "./summaries.ts";
