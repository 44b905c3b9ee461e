import type { Threshold } from "../study/mod.ts";
import { appliesTo } from "./applies.ts";
import { type Analysis, numericColumn } from "./types.ts";

/**
 * Who is on the named side of one of the plan's thresholds: 1 or 0, NaN where the value is missing
 * or the column does not apply (tethering: secondary regurgitation only).
 *
 * @example
 * ```ts
 * const tethered = thresholdHolds(analysis, study.thresholds[0]);
 * ```
 */
export function thresholdHolds(analysis: Analysis, threshold: Threshold): Float64Array {
  const { side, value } = threshold;
  const applies = appliesTo(analysis, threshold.column);
  return numericColumn(analysis, threshold.column).map((x, row) => {
    if (Number.isNaN(x) || !applies[row]) return NaN;
    const holds = side === "above"
      ? x > value
      : side === "at-least"
      ? x >= value
      : side === "below"
      ? x < value
      : x <= value;
    return holds ? 1 : 0;
  });
}
