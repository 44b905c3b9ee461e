import {
  checkDataColumns,
  covariateColumns,
  DataError,
  type Labels,
  momentsOf,
  numberColumn,
  type Numbers,
} from "../../numerics/mod.ts";
import { armColumn } from "./arm-labels.ts";

/** How many rows an arm has, and how many equally weighted ones would tell as much. */
export interface ArmSize {
  /** Label of the arm. */
  arm: string | number;
  /** Rows. */
  n: number;
  /** Sum of the weights. */
  weight: number;
  /** (sum w)^2 / sum w^2. */
  effective: number;
}

/** How alike the arms are in one covariate. */
export interface ArmBalanceRow {
  /** Name of the covariate. */
  covariate: string;
  /** Weighted mean in each arm, in the order of the arms. */
  means: number[];
  /** Largest absolute standardised difference over all pairs of arms. */
  largest: number;
  /** The two arms it is between. */
  pair: [first: string | number, second: string | number];
  /** Largest absolute difference over the root of the mean variance of all arms. */
  largestOfAll: number;
}

/** Balance of several arms. */
export interface ArmBalance {
  /** One an arm. */
  arms: ArmSize[];
  /** One a covariate. */
  rows: ArmBalanceRow[];
}

/**
 * How alike several arms are: for each covariate the largest standardised difference between any
 * two of them, and for each arm its effective number.
 *
 * A difference of weighted means is divided by sqrt((s_j^2 + s_k^2) / 2) of its two arms, and in
 * `largestOfAll` by the root of the mean variance of all arms, so that rows can be compared.
 * Variances come from the rows as they are, without the weights; of a 0/1 covariate p (1 - p).
 * Without `weight`, balance before weighting. Cost O(n covariates arms).
 *
 * @example
 * ```ts
 * import { armBalance } from "mitral";
 * const arm = ["ring", "band", "replacement", "ring", "band", "replacement",
 *   "ring", "band", "replacement", "ring", "band", "replacement"];
 * const age = [61, 72, 70, 55, 68, 75, 64, 71, 58, 66, 73, 60];
 * const lvef = [60, 48, 55, 61, 44, 52, 58, 40, 63, 57, 49, 62];
 * const weight = [1, 2, 1, 1, 2, 1, 1, 1, 2, 1, 1, 1];
 * armBalance({ arm, covariates: { age, lvef }, weight }).rows.map(({ largest }) => largest);
 * ```
 * @param data.weight One a row, at least 0, above 0 somewhere in each arm.
 * @throws {DataError} with fewer than two arms, or an arm of a single row.
 * @see Li & Li (2019) Ann Appl Stat 13:2389-2415, section 5; effective number: Kish (1965) Survey
 * Sampling, section 11.7.
 */
export function armBalance(
  data: { arm: Labels; covariates: Record<string, Numbers>; weight?: Numbers },
): ArmBalance {
  checkDataColumns("armBalance", data, ["arm", "covariates", "weight"]);
  const { codes, labels } = armColumn(data.arm);
  const n = codes.length;
  const { names, columns } = covariateColumns(data.covariates, n);
  const weight = data.weight && numberColumn("weight", data.weight, { length: n, min: 0 });
  const arms = labels.map((arm, code): ArmSize => {
    let count = 0;
    let total = 0;
    let squares = 0;
    for (let i = 0; i < n; i++) {
      if (codes[i] !== code) continue;
      const w = weight ? weight[i]! : 1;
      count++;
      total += w;
      squares += w * w;
    }
    if (count < 2) throw new DataError("arm", `${arm} in two rows at least`, count);
    if (!(squares > 0)) throw new DataError("weight", `above 0 in some row of ${arm}`, 0);
    return { arm, n: count, weight: total, effective: total * total / squares };
  });
  const rows = columns.map((column, place): ArmBalanceRow => {
    const binary = column.every((value) => value === 0 || value === 1);
    const means = labels.map((_, code) => momentsOf(column, { weight, group: codes, code }).mean);
    const variances = labels.map((_, code) => {
      const { mean, variance } = momentsOf(column, { group: codes, code });
      return binary ? mean * (1 - mean) : variance;
    });
    const over = (difference: number, variance: number) =>
      difference === 0 ? 0 : Math.abs(difference) / Math.sqrt(variance);
    const ofAll = variances.reduce((sum, variance) => sum + variance / variances.length, 0);
    let largest = -1;
    let largestOfAll = 0;
    let pair: ArmBalanceRow["pair"] = [labels[0]!, labels[1]!];
    for (let j = 0; j < labels.length; j++) {
      for (let k = j + 1; k < labels.length; k++) {
        const difference = means[k]! - means[j]!;
        const own = over(difference, (variances[j]! + variances[k]!) / 2);
        if (own > largest) {
          largest = own;
          pair = [labels[j]!, labels[k]!];
        }
        largestOfAll = Math.max(largestOfAll, over(difference, ofAll));
      }
    }
    return { covariate: names[place]!, means, largest, pair, largestOfAll };
  });
  return { arms, rows };
}
