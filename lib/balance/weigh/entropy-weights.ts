import {
  binaryColumn,
  checkChoice,
  checkDataColumns,
  checkWhole,
  covariateColumns,
  type Numbers,
} from "../../numerics/mod.ts";
import { groupWeights } from "../alike/mod.ts";
import { tiltedShares } from "./tilted-shares.ts";

/** Weights that balance means exactly, or the reason why there are none. */
export interface EntropyWeights {
  /** "treated": 1 for treated, controls sum to their number. "everyone": each group sums to n. */
  weight: Float64Array;
  /** Whether the search for the estimate came to its end. */
  converged: boolean;
  /** Why not, when `converged` is false. */
  reason?: string;
  /** Steps that the search took. */
  iterations: number;
  /** Largest difference left between a weighted mean and its target, in standard deviations. */
  imbalance: number;
}

/**
 * Entropy balancing: of all weights that make the covariates' means equal to a target, those
 * closest to equal weights in the sense of Kullback and Leibler.
 *
 * w_i is proportional to exp(lambda' x_i); lambda minimises the convex dual
 * log sum exp(lambda' (x_i - target)), by Newton's method with step halving on standardised
 * columns. Needs no model of treatment, and balances means to 1e-10 standard deviations where it
 * converges; where the target lies outside what weighting the group can reach, it cannot. Add
 * squares and products as columns to balance variances and correlations. Cost: O(n p^2) a step.
 *
 * @param options.estimand "treated" (the default): controls are made to resemble the treated;
 * "everyone": both groups are made to resemble all rows.
 * @throws {DataError}
 * @see Hainmueller (2012) Political Analysis 20:25-46.
 */
export function entropyWeights(
  data: { treated: Numbers; covariates: Record<string, Numbers> },
  options: { estimand?: "treated" | "everyone"; maxIterations?: number } = {},
): EntropyWeights {
  checkDataColumns("entropyWeights", data, ["treated", "covariates"]);
  const estimand = checkChoice("estimand", options.estimand ?? "treated", ["treated", "everyone"]);
  const maxIterations = checkWhole("maxIterations", options.maxIterations ?? 100, 1);
  const treated = binaryColumn("treated", data.treated);
  groupWeights(treated);
  const n = treated.length;
  const { names, columns } = covariateColumns(data.covariates, n);
  const rows: [Uint32Array, Uint32Array] = [rowsOf(treated, 0), rowsOf(treated, 1)];
  const every = Uint32Array.from({ length: n }, (_, i) => i);
  const result: EntropyWeights = {
    weight: new Float64Array(n).fill(1),
    converged: true,
    iterations: 0,
    imbalance: 0,
  };
  for (const group of estimand === "everyone" ? [0, 1] as const : [0] as const) {
    const target = estimand === "everyone" ? every : rows[1];
    const solved = tilt(columns, rows[group], target, maxIterations);
    rows[group].forEach((row, i) => result.weight[row] = solved.share[i]! * target.length);
    result.iterations += solved.iterations;
    if (!(solved.imbalance <= result.imbalance)) result.imbalance = solved.imbalance;
    if (solved.converged) continue;
    result.converged = false;
    const who = group === 1 ? "treated" : "controls";
    result.reason = `no weights of the ${who} reach the target: the furthest off is ` +
      `${names[solved.worst]}`;
  }
  return result;
}

function rowsOf(treated: Uint8Array, code: number): Uint32Array {
  const rows: number[] = [];
  treated.forEach((value, i) => value === code && rows.push(i));
  return Uint32Array.from(rows);
}

/**
 * Shares of `rows`, adding up to 1, under which the columns have the means they have in `target`.
 */
function tilt(
  columns: Float64Array[],
  rows: Uint32Array,
  target: Uint32Array,
  maxIterations: number,
) {
  const p = columns.length;
  const m = rows.length;
  // row-major, less the target, in standard deviations of the target and the group together
  const x = new Float64Array(m * p);
  columns.forEach((column, j) => {
    const aim = meanOf(column, target);
    const own = meanOf(column, rows);
    const spread = Math.sqrt(
      Math.max(squaresAround(column, rows, own), squaresAround(column, target, aim)),
    ) || 1;
    for (let i = 0; i < m; i++) x[i * p + j] = (column[rows[i]!]! - aim) / spread;
  });
  return tiltedShares(x, { rows: m, columns: p, maxIterations });
}

function meanOf(column: Float64Array, rows: Uint32Array): number {
  let sum = 0;
  for (const row of rows) sum += column[row]!;
  return sum / rows.length;
}

function squaresAround(column: Float64Array, rows: Uint32Array, centre: number): number {
  let sum = 0;
  for (const row of rows) sum += (column[row]! - centre) ** 2;
  return sum / rows.length;
}
