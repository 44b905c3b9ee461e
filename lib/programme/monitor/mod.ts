/** Watching a series of operations for deterioration and improvement. @module */
export type { ChartedMix } from "./case-mix.ts";
export { observedMinusExpected } from "./observed-minus-expected.ts";
export { type RiskAdjustedCusum, riskAdjustedCusum } from "./risk-adjusted-cusum.ts";
export { limitForRunLength, runLength } from "./run-length.ts";
