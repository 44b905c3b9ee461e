/** Replicates and completed sets worked out in parts, one job of an array each. @module */
export { type FoundParts, partsAtHand, partsFolder } from "./parts-at-hand.ts";
export { type Origin, originOf, partKinds } from "./part-file.ts";
