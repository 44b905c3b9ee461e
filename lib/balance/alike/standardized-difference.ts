import {
  checkChoice,
  checkDataColumns,
  DataError,
  type Moments,
  momentsOfGroups,
  numberColumn,
  type Numbers,
} from "../../numerics/mod.ts";
import { comparedColumns, isBinary, varianceOf } from "./compared-columns.ts";

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
  const raw = momentsOfGroups(covariate, treated);
  const variance = denominator === "treated"
    ? varianceOf(raw[1], columns.binary)
    : meanVariance(raw, columns.binary);
  if (Number.isNaN(variance)) {
    throw new DataError("treated", "at least two rows in each group", data.treated);
  }
  return inDeviations(weight ? momentsOfGroups(covariate, treated, weight) : raw, variance);
}

/**
 * {@link standardizedDifference} of one covariate as it is and under several weights, all in pooled
 * standard deviations of the rows as they are: what does not hang on the weights is worked out
 * once. Null where a group has fewer than two rows that count.
 *
 * @param weights Undefined for none.
 * @throws {DataError}
 */
export function standardizedDifferences(
  data: { treated: Uint8Array; covariate: Float64Array },
  weights: readonly (Float64Array | undefined)[],
): (number | null)[] {
  const { treated } = data;
  const covariate = numberColumn("covariate", data.covariate, { length: treated.length });
  const raw = momentsOfGroups(covariate, treated);
  if (hasFew(raw)) return weights.map(() => null);
  const variance = meanVariance(raw, isBinary(covariate));
  return weights.map((weight) => {
    if (!weight) return inDeviations(raw, variance);
    const own = momentsOfGroups(covariate, treated, weight);
    return hasFew(own) ? null : inDeviations(own, variance);
  });
}

type OfGroups = readonly [Moments, Moments];

function hasFew([zero, one]: OfGroups): boolean {
  return Math.min(zero.n, one.n) < 2;
}

function meanVariance([zero, one]: OfGroups, binary: boolean): number {
  return (varianceOf(one, binary) + varianceOf(zero, binary)) / 2;
}

function inDeviations([zero, one]: OfGroups, variance: number): number {
  const difference = one.mean - zero.mean;
  if (variance > 0) return difference / Math.sqrt(variance);
  return difference === 0 ? 0 : difference * Infinity;
}
