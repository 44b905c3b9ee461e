import type { Threshold } from "../../study/plan/mod.ts";
import { isSmall } from "../../disclosure/mod.ts";
import { appliesTo } from "./applies.ts";
import { type Analysis, numericColumn } from "../model/mod.ts";

/**
 * Who is on the named side of one of the plan's thresholds: 1 or 0, NaN where the value is missing
 * or the column does not apply (tethering: secondary regurgitation only).
 *
 * @example
 * ```ts
 * import { openAnalysis, thresholdHolds } from "mitral";
 * const { analysis, study } = await openAnalysis();
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

/**
 * Eligible patients on either side of a threshold. Where few of a group lack the value, their
 * number would follow from both: the larger side is then null.
 */
export function sideCounts(
  analysis: Analysis,
  threshold: Threshold,
): { inside: number | null; outside: number | null } {
  const holds = thresholdHolds(analysis, threshold);
  const applies = appliesTo(analysis, threshold.column);
  const inside = holds.filter((side) => side === 1).length;
  const outside = holds.filter((side) => side === 0).length;
  const fewUnknown = [0, 1].some((group) =>
    isSmall(
      holds.filter((side, row) =>
        Number.isNaN(side) && applies[row] === 1 && analysis.treated[row] === group
      ).length,
      analysis.study.smallestCell,
    )
  );
  if (!fewUnknown) return { inside, outside };
  return inside < outside ? { inside, outside: null } : { inside: null, outside };
}
