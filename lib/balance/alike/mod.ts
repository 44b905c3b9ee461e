/** How unlike two groups are, one measure a file. @module */
export { categoricalDifference, differenceOfShares } from "./categorical-difference.ts";
export { groupWeights } from "./compared-columns.ts";
export { distributionDistance, distributionDistances } from "./distribution-distance.ts";
export { type Overlap, overlapOf } from "./overlap.ts";
export { standardizedDifference, standardizedDifferences } from "./standardized-difference.ts";
export { varianceRatio } from "./variance-ratio.ts";
