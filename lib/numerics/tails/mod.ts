/** Distributions, accurate far out in their tails, and p values from them. @module */
export { type BetaFactor, betaProductQuantile } from "./beta-product.ts";
export { bracketedRoot } from "./bracketed-root.ts";
export { chiSquareResult } from "./chi-square-result.ts";
export { distributions } from "./distributions.ts";
export { invertTail } from "./invert-tail.ts";
export { twoSidedP } from "./two-sided.ts";
