export { partsBetween, publishableCuts } from "./ordered-cuts.ts";
/** Which counts may be published, and in what form. @module */
export { type PublishableCounts, publishableCounts } from "./publishable-counts.ts";
export { publishedNumber } from "./published-numbers.ts";
export {
  boundedCount,
  boundInWords,
  countInWords,
  isSmall,
  publishableKinds,
  publishableNested,
  publishablePart,
  publishableShare,
  publishedPer100,
  publishedShare,
} from "./small-counts.ts";
