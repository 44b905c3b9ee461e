export type { FollowUp, Labels, Numbers } from "./columns.ts";
export { type PublishableCounts, publishableCounts } from "./disclosure.ts";
export { distributions } from "./distributions.ts";
export { DataError } from "./errors.ts";
export { SeededRandom } from "./random.ts";
export type { Interval, Test } from "./results.ts";
export { filterRows } from "./filter-rows.ts";
export {
  boundedCount,
  countInWords,
  isSmall,
  publishableKinds,
  publishableNested,
  publishablePart,
  publishableShare,
  publishedShare,
} from "./small-counts.ts";
