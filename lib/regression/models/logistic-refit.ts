import { factorSymmetric, meanOf, solveFactored, spreadOf } from "../../numerics/mod.ts";
import { logisticPass, type LogisticRows, logisticSums } from "./logistic-kernel.ts";
import type { LogisticFit } from "./logistic.ts";

/** Columns of a logistic regression that is fitted over and over to rows drawn from it. */
export interface RefittedColumns {
  /** 0 or 1. */
  outcome: Uint8Array;
  /** Each as long, without gaps. */
  covariates: Record<string, Float64Array>;
}

/**
 * Logistic regression as a function of how often each row is drawn: the linear predictor of the
 * rows drawn, as `logisticRegression` gives it to rounding. A row drawn twice is one with a weight
 * of 2, and the search starts from the fit to all rows, so that a draw costs two or three passes
 * over two rows of three.
 *
 * @param whole The fit to all rows.
 * @returns undefined where a plain fit must be made: a column that the draw leaves constant or a
 * combination of others, fitted values near 0 or 1, a step that does not lead up.
 */
export function logisticRefit(
  { outcome, covariates }: RefittedColumns,
  whole: LogisticFit,
): (times: Float64Array) => Float64Array | undefined {
  if (!whole.converged || whole.dropped.length > 0) return () => undefined;
  const columns = Object.values(covariates);
  const q = columns.length + 1;
  const centre = Float64Array.from(columns, meanOf);
  const spread = Float64Array.from(columns, spreadOf);
  const start = new Float64Array(q);
  start[0] = whole.terms[0]!.coefficient;
  for (let j = 1; j < q; j++) {
    const { coefficient } = whole.terms[j]!;
    start[0] += coefficient * centre[j - 1]!;
    start[j] = coefficient * spread[j - 1]!;
  }
  const scale = spread.map((one) => 1 / one);
  return (times) => {
    const drawn = drawnOnce(times);
    const rows: LogisticRows = {
      n: drawn.length,
      columns: columns.map((column, j) => gathered(column, drawn, j)),
      centre,
      scale,
      outcome: Uint8Array.from(drawn, (row) => outcome[row]!),
      weight: Float64Array.from(drawn, (row) => times[row]!),
    };
    const predictor = climbFrom(start, rows);
    if (!predictor) return undefined;
    const every = new Float64Array(times.length);
    for (let k = 0; k < drawn.length; k++) every[drawn[k]!] = predictor[k]!;
    return every;
  };
}

/** Fitted values further from a half than this one's are left to a fit that seeks separation. */
const FAR = 14;

// Near enough to the end that the information hardly changes any more: squared, in standard errors.
const NEAR = 0.01;

/**
 * Newton's method without halving, up to a last step shorter than 1e-6 standard errors; near the
 * end, where further passes for the information would tell next to nothing, with the one there is,
 * and then up to 1e-9.
 */
function climbFrom(start: Float64Array, rows: LogisticRows): Float64Array | undefined {
  const q = start.length;
  const beta = start.slice();
  const predictor = new Float64Array(rows.n);
  const sums = logisticSums(q);
  logisticPass(rows, beta, sums, predictor);
  let factor = factorSymmetric(sums.information, q);
  let isOwn = true; // whether the information is that of this place
  for (let iteration = 0; iteration < 20; iteration++) {
    if (factor.dropped.length > 0) return undefined;
    const step = solveFactored(factor, sums.gradient);
    let decrement = 0;
    for (let j = 0; j < q; j++) {
      decrement += step[j]! * sums.gradient[j]!;
      beta[j]! += step[j]!;
    }
    const before = sums.logLikelihood;
    const last = decrement <= (isOwn ? 1e-12 : 1e-18);
    const gradientOnly = decrement <= NEAR;
    logisticPass(rows, beta, sums, predictor, { fitOnly: last, gradientOnly });
    const slack = 1e-13 * Math.abs(before);
    if (!(sums.logLikelihood >= before - slack) || sums.extreme > FAR) return undefined;
    if (last) return predictor;
    isOwn = !gradientOnly;
    if (isOwn) factor = factorSymmetric(sums.information, q);
  }
  return undefined;
}

function drawnOnce(times: Float64Array): Int32Array {
  let count = 0;
  for (let row = 0; row < times.length; row++) if (times[row]! > 0) count++;
  const rows = new Int32Array(count);
  for (let row = 0, k = 0; row < times.length; row++) if (times[row]! > 0) rows[k++] = row;
  return rows;
}

// One set of columns for all draws, written over by the next.
const buffers: Float64Array[] = [];

function gathered(column: Float64Array, rows: Int32Array, j: number): Float64Array {
  let values = buffers[j];
  if (values === undefined || values.length < rows.length) {
    values = new Float64Array(column.length);
    buffers[j] = values;
  }
  for (let k = 0; k < rows.length; k++) values[k] = column[rows[k]!]!;
  return values;
}
