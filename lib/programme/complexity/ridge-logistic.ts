import {
  factorSymmetric,
  invertFactored,
  meanOf,
  solveFactored,
  spreadOf,
} from "../../numerics/mod.ts";
import {
  logistic,
  logisticPass,
  type LogisticRows,
  logisticSums,
} from "../../regression/models/mod.ts";

/** A logistic model whose coefficients are drawn towards 0. */
export interface RidgeFit {
  /** Constant first, for the columns as given. */
  coefficients: Float64Array;
  penalty: number;
  /** What the coefficients are worth in free parameters, the constant not counted. */
  effectiveTerms: number;
  logLikelihood: number;
}

// Penalties tried, on columns of standard deviation 1. Never none: outcomes that are told apart
// have no maximum without one.
const penalties = [0.1, 0.25, 0.5, 1, 2, 4, 8, 16, 32, 64, 128, 256, 512, 1024];

/**
 * Logistic regression with a quadratic penalty, its size chosen by the likelihood less the
 * effective number of terms (an information criterion), so that the choice has no chance in it.
 *
 * Maximises log-likelihood - penalty / 2 * sum of squared coefficients of columns scaled to
 * standard deviation 1. The effective number of terms is the trace of H (H + penalty)^-1. Columns
 * that are constant keep a coefficient of 0. Cost O(n p) once, and O(k p^2) an iteration and
 * penalty for k kinds of rows.
 *
 * @see le Cessie & van Houwelingen (1992) Appl Stat 41:191-201; Gray (1992) JASA 87:942-951.
 */
export function ridgeLogistic(outcome: Uint8Array, columns: Float64Array[]): RidgeFit {
  const centre = new Float64Array(columns.length);
  const scale = new Float64Array(columns.length);
  columns.forEach((column, j) => {
    centre[j] = meanOf(column);
    const spread = spreadOf(column);
    scale[j] = spread > 1e-10 * Math.abs(centre[j]!) ? 1 / spread : 0;
  });
  const rows = kindsOfRows(outcome, columns, { centre, scale });
  let best: (RidgeFit & { worth: number }) | undefined;
  let start = new Float64Array(columns.length + 1);
  const share = meanOf(outcome);
  start[0] = Math.log(share / (1 - share));
  // from the strongest penalty on, each the start of the next
  for (const penalty of penalties.toReversed()) {
    const fit = penalized(rows, start, penalty);
    if (!fit) continue;
    start = fit.beta;
    const worth = fit.logLikelihood - fit.effectiveTerms;
    if (best && worth <= best.worth) continue;
    const coefficients = new Float64Array(columns.length + 1);
    coefficients[0] = fit.beta[0]!;
    for (let j = 0; j < columns.length; j++) {
      coefficients[j + 1] = fit.beta[j + 1]! * scale[j]!;
      coefficients[0]! -= coefficients[j + 1]! * centre[j]!;
    }
    const { effectiveTerms, logLikelihood } = fit;
    best = { coefficients, penalty, effectiveTerms, logLikelihood, worth };
  }
  const { worth: _, ...chosen } = best!;
  return chosen;
}

/**
 * Rows that are alike in everything counted as one with a weight: items of 0 and 1 make few kinds.
 */
function kindsOfRows(
  outcome: Uint8Array,
  columns: Float64Array[],
  { centre, scale }: Pick<LogisticRows, "centre" | "scale">,
): LogisticRows {
  const kinds = new Map<number | string, { row: number; count: number }>();
  const keyOf = keysOf([outcome, ...columns]);
  for (let row = 0; row < outcome.length; row++) {
    const key = keyOf(row);
    const kind = kinds.get(key);
    if (kind) kind.count++;
    else kinds.set(key, { row, count: 1 });
  }
  const all = [...kinds.values()];
  return {
    n: all.length,
    columns: columns.map((column) => Float64Array.from(all, ({ row }) => column[row]!)),
    centre,
    scale,
    outcome: Uint8Array.from(all, ({ row }) => outcome[row]!),
    weight: Float64Array.from(all, ({ count }) => count),
  };
}

/** A key of each row, alike where it is alike in all columns: a number where they are 0 and 1. */
function keysOf(columns: readonly ArrayLike<number>[]): (row: number) => number | string {
  const binary = columns.every((column) =>
    Array.prototype.every.call(column, (x) => x === 0 || x === 1)
  );
  if (!binary || columns.length > 50) {
    return (row) => columns.map((column) => column[row]!).join(",");
  }
  return (row) => columns.reduce((key, column) => 2 * key + column[row]!, 0);
}

/** Risks of rows under coefficients, constant first. */
export function riskOf(coefficients: Float64Array, columns: Float64Array[]): Float64Array {
  return Float64Array.from({ length: columns[0]?.length ?? 0 }, (_, i) => {
    let eta = coefficients[0]!;
    columns.forEach((column, j) => eta += coefficients[j + 1]! * column[i]!);
    return logistic(eta);
  });
}

function penalized(
  rows: LogisticRows,
  start: Float64Array<ArrayBuffer>,
  penalty: number,
): { beta: Float64Array<ArrayBuffer>; logLikelihood: number; effectiveTerms: number } | undefined {
  const q = start.length;
  const sums = logisticSums(q);
  const predictor = new Float64Array(rows.n);
  let beta = start.slice();
  const objective = (at: Float64Array, logLikelihood: number) => {
    let squares = 0;
    for (let j = 1; j < q; j++) squares += at[j]! ** 2;
    return logLikelihood - penalty / 2 * squares;
  };
  logisticPass(rows, beta, sums, predictor);
  let value = objective(beta, sums.logLikelihood);
  for (let iteration = 0; iteration < 60; iteration++) {
    const matrix = sums.information.slice();
    const gradient = sums.gradient.slice();
    for (let j = 1; j < q; j++) {
      matrix[j * q + j]! += penalty;
      gradient[j]! -= penalty * beta[j]!;
    }
    const step = solveFactored(factorSymmetric(matrix, q, 1e-12), gradient);
    const decrement = step.reduce((sum, s, j) => sum + s * gradient[j]!, 0);
    if (decrement < 1e-16 * rows.n) {
      return {
        beta,
        logLikelihood: sums.logLikelihood,
        effectiveTerms: effective(sums.information, q, penalty),
      };
    }
    let length = 1;
    let risen = false;
    for (let halving = 0; halving < 30 && !risen; halving++, length /= 2) {
      const trial = beta.map((b, j) => b + length * step[j]!);
      logisticPass(rows, trial, sums, predictor);
      const there = objective(trial, sums.logLikelihood);
      if (there >= value - 1e-12 * rows.n) {
        risen = true;
        beta = trial;
        value = there;
      }
    }
    if (!risen) return undefined;
  }
  return undefined;
}

/** Trace of H (H + penalty)^-1, the constant taken out of both. */
function effective(information: Float64Array, q: number, penalty: number): number {
  const p = q - 1;
  const own = new Float64Array(p * p);
  for (let j = 0; j < p; j++) {
    for (let k = 0; k < p; k++) {
      own[j * p + k] = information[(j + 1) * q + k + 1]! -
        information[(j + 1) * q]! * information[k + 1]! / information[0]!;
    }
  }
  const raised = own.slice();
  for (let j = 0; j < p; j++) raised[j * p + j]! += penalty;
  const inverse = invertFactored(factorSymmetric(raised, p, 1e-12));
  let trace = 0;
  for (let j = 0; j < p; j++) {
    for (let k = 0; k < p; k++) trace += own[j * p + k]! * inverse[k * p + j]!;
  }
  return trace;
}
