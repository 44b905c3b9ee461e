import { checkDataColumns, type Numbers, orderOf } from "../../numerics/mod.ts";
import { comparedColumns } from "./compared-columns.ts";

/**
 * How far apart a covariate's (weighted) distribution functions are in the two groups: the largest
 * and the mean of |F1(x) - F0(x)|, the mean over all distinct values of the rows as given. 0 is the
 * same distribution, 1 no overlap. Cost O(n log n).
 *
 * @throws {DataError}
 * @see Austin & Stuart (2015) Stat Med 34:3661-3679.
 */
export function distributionDistance(
  data: { treated: Numbers; covariate: Numbers; weight?: Numbers },
): { maximum: number; mean: number } {
  checkDataColumns("distributionDistance", data, ["treated", "covariate", "weight"]);
  const { treated, covariate, weight } = comparedColumns(data);
  return distanceAlong(orderOf(covariate), { treated, covariate, weight });
}

/** The largest distances under several weights, undefined for none; sorted once for all. */
export function distributionDistances(
  data: { treated: Uint8Array; covariate: Float64Array },
  weights: readonly (Float64Array | undefined)[],
): number[] {
  const order = orderOf(data.covariate);
  return weights.map((weight) => distanceAlong(order, { ...data, weight }).maximum);
}

function distanceAlong(
  order: Uint32Array,
  { treated, covariate, weight }: {
    treated: Uint8Array;
    covariate: Float64Array;
    weight: Float64Array | undefined;
  },
): { maximum: number; mean: number } {
  const n = treated.length;
  let totalOne = 0;
  let totalZero = 0;
  for (let i = 0; i < n; i++) {
    const w = weight ? weight[i]! : 1;
    if (treated[i] === 1) totalOne += w;
    else totalZero += w;
  }
  let one = 0;
  let zero = 0;
  let maximum = 0;
  let sum = 0;
  let distinct = 0;
  for (let i = 0; i < n;) {
    const value = covariate[order[i]!]!;
    for (; i < n && covariate[order[i]!]! === value; i++) {
      const row = order[i]!;
      const w = weight ? weight[row]! : 1;
      if (treated[row] === 1) one += w;
      else zero += w;
    }
    const gap = i === n ? 0 : Math.abs(one / totalOne - zero / totalZero);
    maximum = Math.max(maximum, gap);
    sum += gap;
    distinct++;
  }
  return { maximum, mean: sum / distinct };
}
