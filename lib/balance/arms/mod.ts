export { type ArmScores, armScores } from "./arm-scores.ts";
export { type EqualMeans, equalMeans } from "./equal-means.ts";
export { type ArmEstimand, armWeights } from "./arm-weights.ts";
export { type ArmBalance, armBalance, type ArmBalanceRow, type ArmSize } from "./arm-balance.ts";
