export { bootstrapLimits, type BootstrapMethod } from "./bootstrap-limits.ts";
export { type PermutationTest, permutationTest } from "./permutation-test.ts";
