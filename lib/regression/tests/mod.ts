/** Tests of two samples or a table. @module */
export { chiSquareTest } from "./chi-square-test.ts";
export { fisherTest } from "./fisher-test.ts";
export { kolmogorovSmirnovTest } from "./kolmogorov-smirnov.ts";
export { mcnemarTest } from "./mcnemar-test.ts";
export { type RankSum, rankSumTest } from "./rank-sum.ts";
export { type MeanDifference, pairedTest, welchTest } from "./t-tests.ts";
