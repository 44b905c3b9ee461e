import {
  checkChoice,
  checkDataColumns,
  DataError,
  momentsOf,
  type Numbers,
} from "../../numerics/mod.ts";
import { comparedColumns, groupVariance } from "./compared-columns.ts";

/**
 * Standardised difference of a covariate between two groups: (weighted) mean in treated minus mean
 * in controls, in standard deviations.
 *
 * The denominator always comes from the rows as given, *without* the weights, so that before and
 * after are measured with one rod: pass the whole sample with weight 0 for whoever was not matched.
 * "pooled": sqrt((v1 + v0) / 2); "treated": sqrt(v1). v is the sample variance, or p (1 - p) where
 * every value is 0 or 1. If the denominator is 0, the difference is 0 where means agree and
 * infinite where not. Cost O(n).
 *
 * @example
 * ```ts
 * import { standardizedDifference } from "mitral";
 * const treated = [1, 1, 0, 0];
 * standardizedDifference({ treated, covariate: [3, 5, 1, 3] }); // 2 / sqrt(2) = 1.414
 * ```
 * @throws {DataError}
 * @see Austin (2009) Stat Med 28:3083-3107.
 */
export function standardizedDifference(
  data: {
    treated: Numbers;
    covariate: Numbers;
    /** At least 0. */
    weight?: Numbers;
    denominator?: "pooled" | "treated";
  },
): number {
  checkDataColumns("standardizedDifference", data, [
    "treated",
    "covariate",
    "weight",
    "denominator",
  ]);
  const denominator = checkChoice("denominator", data.denominator ?? "pooled", [
    "pooled",
    "treated",
  ]);
  const columns = comparedColumns(data);
  const { treated, covariate, weight } = columns;
  const one = momentsOf(covariate, { weight, group: treated, code: 1 });
  const zero = momentsOf(covariate, { weight, group: treated, code: 0 });
  const variance = denominator === "treated"
    ? groupVariance(columns, 1)
    : (groupVariance(columns, 1) + groupVariance(columns, 0)) / 2;
  if (Number.isNaN(variance)) {
    throw new DataError("treated", "at least two rows in each group", data.treated);
  }
  const difference = one.mean - zero.mean;
  if (variance > 0) return difference / Math.sqrt(variance);
  return difference === 0 ? 0 : difference * Infinity;
}
