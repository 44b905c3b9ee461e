/** Replicates and completed sets worked out in parts, one job of an array each. @module */
export { handOverParts } from "./hand-over.ts";
export { partsAtHand, partsFolder } from "./parts-at-hand.ts";
