/** How much each patient counts, and what that costs. @module */
export { balancingWeights, type Estimand } from "./balancing-weights.ts";
export { effectiveSampleSize } from "./effective-sample-size.ts";
export { type EntropyWeights, entropyWeights } from "./entropy-weights.ts";
export { type MeasurementWeights, measurementWeights } from "./measurement-weights.ts";
export { populationWeights } from "./population-weights.ts";
export { type TiltedShares, tiltedShares } from "./tilted-shares.ts";
