/** Limits and tests from replicates and permutations. @module */
export { bootstrapLimits, type BootstrapMethod } from "./bootstrap-limits.ts";
export { type PermutationTest, permutationTest } from "./permutation-test.ts";
