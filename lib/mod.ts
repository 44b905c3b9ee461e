/**
 * The public surface: everything a notebook needs, under one import name.
 *
 * ```ts
 * import { kaplanMeier } from "mitral";
 * ```
 *
 * @module
 */
export {
  DataError,
  distributions,
  fewerOfMany,
  filterRows,
  type FollowUp,
  type Interval,
  type Labels,
  type Limits,
  type Numbers,
  type PlainColumn,
  SeededRandom,
  type Test,
} from "./numerics/mod.ts";
export {
  chiSquareText,
  formatEstimate,
  formatNumber,
  formatP,
  formatPercent,
  formatPValue,
  formatRange,
  formatTest,
  type PrintedPair,
} from "./words/mod.ts";
export {
  boundedCount,
  countInWords,
  isSmall,
  partsBetween,
  type PublishableCounts,
  publishableCounts,
  publishableCuts,
  publishableKinds,
  publishableNested,
  publishablePart,
  publishableShare,
  publishedShare,
} from "./disclosure/mod.ts";
export * from "./study/mod.ts";
export * from "./cohort/mod.ts";
export * from "./regression/mod.ts";
export * from "./balance/mod.ts";
export * from "./survival/mod.ts";
export * from "./competing/mod.ts";
export * from "./missing/mod.ts";
export * from "./sensitivity/mod.ts";
export * from "./programme/mod.ts";
export * from "./comparisons/mod.ts";
export * from "./figures/mod.ts";
export * from "./report/mod.ts";
