import {
  binaryColumn,
  checkDataColumns,
  factorSymmetric,
  groupColumn,
  type Labels,
  type Numbers,
  solveFactored,
} from "../../numerics/mod.ts";
import { groupWeights } from "./compared-columns.ts";

/**
 * Standardised difference of a covariate with several levels, as one number, at least 0.
 *
 * The Mahalanobis distance sqrt((p1 - p0)' S^-1 (p1 - p0)) between the groups' (weighted) shares of
 * all levels but one; S is the mean of the two multinomial covariance matrices, from the rows as
 * given without the weights. With two levels it is the absolute standardised difference. Infinite
 * where the groups differ in a direction in which neither varies. Cost O(n + k^3).
 *
 * @throws {DataError}
 * @see Yang & Dalton (2012) A unified approach to measuring the effect size between two groups.
 */
export function categoricalDifference(
  data: { treated: Numbers; category: Labels; weight?: Numbers },
): number {
  checkDataColumns("categoricalDifference", data, ["treated", "category", "weight"]);
  const treated = binaryColumn("treated", data.treated);
  const n = treated.length;
  const { codes, labels } = groupColumn("category", data.category, n);
  const weight = groupWeights(treated, data.weight);
  const k = labels.length;
  if (k === 1) return 0;
  const raw = shares(treated, codes, k);
  const weighted = weight ? shares(treated, codes, k, weight) : raw;
  return differenceOfShares(weighted, raw);
}

/**
 * Standardised difference of the shares of several levels, controls first; see
 * {@link categoricalDifference}.
 *
 * @param raw The shares from which the spread is taken; default, the same.
 */
export function differenceOfShares(
  weighted: readonly [Float64Array, Float64Array],
  raw: readonly [Float64Array, Float64Array] = weighted,
): number {
  const p = raw[0].length - 1; // the last level follows from the others
  const covariance = new Float64Array(p * p);
  for (const group of raw) {
    for (let i = 0; i < p; i++) {
      for (let j = 0; j < p; j++) {
        covariance[i * p + j]! += ((i === j ? group[i]! : 0) - group[i]! * group[j]!) / 2;
      }
    }
  }
  const difference = Float64Array.from({ length: p }, (_, i) => weighted[1][i]! - weighted[0][i]!);
  const solved = solveFactored(factorSymmetric(covariance, p), difference);
  let square = 0;
  let missed = 0;
  for (let i = 0; i < p; i++) {
    square += solved[i]! * difference[i]!;
    let back = -difference[i]!;
    for (let j = 0; j < p; j++) back += covariance[i * p + j]! * solved[j]!;
    missed = Math.max(missed, Math.abs(back));
  }
  return missed > 1e-8 ? Infinity : Math.sqrt(Math.max(0, square));
}

/** Share of each level among controls, then among treated. */
function shares(
  treated: Uint8Array,
  codes: Int32Array,
  k: number,
  weight?: Float64Array,
): [Float64Array, Float64Array] {
  const sums: [Float64Array, Float64Array] = [new Float64Array(k), new Float64Array(k)];
  const totals = [0, 0];
  for (let i = 0; i < codes.length; i++) {
    const w = weight ? weight[i]! : 1;
    const group = treated[i] === 1 ? 1 : 0;
    sums[group][codes[i]!]! += w;
    totals[group]! += w;
  }
  return [sums[0].map((s) => s / totals[0]!), sums[1].map((s) => s / totals[1]!)];
}
