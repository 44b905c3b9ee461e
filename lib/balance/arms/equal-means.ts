import {
  checkDataColumns,
  checkLength,
  covariateColumns,
  DataError,
  type Labels,
  momentsOf,
  numberColumn,
  type Numbers,
} from "../../numerics/mod.ts";
import { tiltedShares } from "../weigh/mod.ts";
import { armColumn } from "./arm-labels.ts";

/** Weights under which every arm has the population's means, see {@link equalMeans}. */
export interface EqualMeans {
  /** One a row. */
  weight: Float64Array;
  /** Whether every arm could be given the means; where not, `weight` is as it came. */
  reached: boolean;
}

/**
 * Moves the weights of several arms as little as possible until each covariate has the same mean in
 * all of them: that of the population the weights are about.
 *
 * With two arms overlap weights from a logistic score make means equal by themselves, and stay as
 * they are; with more they do so only on average over samples, and in small arms what is left can
 * be large. In each arm the weights become w exp(lambda' (x - m)), m the population's means: of all
 * weights with those means the nearest to w by relative entropy. Each arm keeps its total weight.
 *
 * Means are equal to a ten-thousandth of a standard deviation. It cannot be done where m lies
 * outside what an arm's patients span, as in an arm smaller than the number of covariates. How much
 * information the moved weights leave is for the effective number to tell. Cost O(n covariates^2) a
 * step, some few steps.
 *
 * @param data.weight One a row, above 0, such as those of `armWeights`.
 * @param data.share How much each row counts in the population: its weight times the chance of its
 * own arm.
 * @example
 * ```ts ignore
 * import { equalMeans } from "./mod.ts";
 * const share = weight.map((w, row) => w * scores.score[codeOf(arm[row])][row]);
 * equalMeans({ arm, covariates: { age, lvef }, weight, share }).weight;
 * ```
 * @throws {DataError} with fewer than two arms, or on values that are not finite.
 * @see Deville & Särndal (1992) JASA 87:376-382 (calibration, raking distance); Hainmueller (2012)
 * Polit Anal 20:25-46.
 */
export function equalMeans(
  data: { arm: Labels; covariates: Record<string, Numbers>; weight: Numbers; share: Numbers },
): EqualMeans {
  checkDataColumns("equalMeans", data, ["arm", "covariates", "weight", "share"]);
  const { codes, labels } = armColumn(data.arm);
  const n = codes.length;
  const { columns } = covariateColumns(data.covariates, n);
  checkLength("weight", data.weight, n);
  const weight = numberColumn("weight", data.weight, { length: n, above: 0 });
  const share = numberColumn("share", data.share, { length: n, min: 0 });
  if (!share.some((one) => one > 0)) throw new DataError("share", "above 0 in some row", 0);
  const centred = columns.map((column) => {
    const { mean } = momentsOf(column, { weight: share });
    const spread = Math.sqrt(momentsOf(column).variance);
    return column.map((value) => spread > 0 ? (value - mean) / spread : 0);
  });
  const result = Float64Array.from(weight);
  if (centred.every((column) => areEqual(column, { weight: result, codes }))) {
    return { weight: result, reached: true };
  }
  for (let code = 0; code < labels.length; code++) {
    const rows = Int32Array.from(codes.keys()).filter((row) => codes[row] === code);
    const of = (column: Float64Array) => Float64Array.from(rows, (row) => column[row]!);
    const found = moved(of(result), centred.map(of));
    if (!found) return { weight: Float64Array.from(weight), reached: false };
    rows.forEach((row, k) => result[row] = found[k]!);
  }
  return { weight: result, reached: true };
}

/**
 * Means this near to each other, in standard deviations, are equal. A row whose like is in one arm
 * only has a chance near 0 of the others, and counts so little that no more is possible.
 */
const near = 1e-4;

/** Whether a column has the same mean in every arm. */
function areEqual(
  column: Float64Array,
  { weight, codes }: { weight: Float64Array; codes: Int32Array },
): boolean {
  const arms = new Set(codes);
  const means = Array.from(arms, (code) => momentsOf(column, { weight, group: codes, code }).mean);
  return Math.max(...means) - Math.min(...means) <= near;
}

/** Weights of one arm under which every column has mean 0; undefined where there are none. */
function moved(weight: Float64Array, columns: readonly Float64Array[]): Float64Array | undefined {
  // what is the same in all of an arm's rows cannot be moved
  const isFixed = (column: Float64Array) => column.every((value) => value === column[0]);
  if (columns.some((column) => isFixed(column) && Math.abs(column[0]!) > near)) return undefined;
  const free = columns.filter((column) => !isFixed(column));
  const x = new Float64Array(weight.length * free.length);
  free.forEach((column, j) => column.forEach((value, i) => x[i * free.length + j] = value));
  const size = { rows: weight.length, columns: free.length, maxIterations: 100 };
  const { share, imbalance } = tiltedShares(x, { ...size, base: weight });
  if (!(imbalance <= near)) return undefined;
  const total = weight.reduce((sum, one) => sum + one, 0);
  return share.map((one) => one * total);
}
