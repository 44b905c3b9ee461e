import {
  factorSymmetric,
  invertFactored,
  meanOf,
  solveFactored,
  spreadOf,
} from "../../numerics/mod.ts";
import {
  isRecession,
  logisticPass,
  type LogisticRows,
  type LogisticSums,
  logisticSums,
} from "./logistic-kernel.ts";

/** Where the likelihood's climb ended, in terms of the scaled columns. */
export interface Climb {
  /** Constant first. */
  beta: Float64Array;
  /** Inverse information of the last step. */
  inverse: Float64Array;
  logLikelihood: number;
  /** Linear predictor of every row. */
  predictor: Float64Array;
  iterations: number;
  /** Why there is no convergence; absent where there is. */
  reason: string | undefined;
  /** Indices of columns that separate the outcomes. */
  separated: number[];
}

// Past this linear predictor (a probability within 1e-6 of 0 or 1) separation is looked for.
const FAR = 14;

// The first step goes from fitted values of (outcome + 1/2) / 2, as McCullagh and Nelder (1989,
// section 4.4) start: least squares on log(3) + 4/3 with the outcome's sign. Seen from coefficients
// of 0, that is the Newton step stretched by this factor.
const FIRST_STEP = (Math.log(3) + 4 / 3) / 2;

/**
 * Centres and scales columns, leaving out those that are constant or, to 1e-10 of their variance,
 * linear combinations of the ones before. `kept` indexes the columns given; `atZero` has gradient
 * and information where all coefficients are 0, from which the climb starts.
 */
export function scaledRows(
  given: {
    n: number;
    columns: Float64Array[];
    outcome: Uint8Array;
    weight: Float64Array | undefined;
  },
): { rows: LogisticRows; kept: number[]; atZero: LogisticSums } {
  const { n, outcome, weight } = given;
  const varying: number[] = [];
  const centre: number[] = [];
  const scale: number[] = [];
  given.columns.forEach((column, j) => {
    const [mean, spread] = [meanOf(column), spreadOf(column)];
    if (!(spread > 1e-10 * Math.abs(mean))) return;
    varying.push(j);
    centre.push(mean);
    scale.push(1 / spread);
  });
  const rowsOf = (use: number[]): LogisticRows => ({
    n,
    columns: use.map((v) => given.columns[varying[v]!]!),
    centre: Float64Array.from(use, (v) => centre[v]!),
    scale: Float64Array.from(use, (v) => scale[v]!),
    outcome,
    weight,
  });
  const every = varying.map((_, v) => v);
  const all = rowsOf(every);
  // at 0 every row has the same curvature, so the information is the cross-product matrix
  const q = varying.length + 1;
  const atZero = logisticSums(q);
  logisticPass(all, new Float64Array(q), atZero, new Float64Array(n));
  const { dropped } = factorSymmetric(atZero.information, q);
  if (dropped.length === 0) return { rows: all, kept: varying, atZero };
  const use = every.filter((v) => !dropped.includes(v + 1));
  const places = [0, ...use.map((v) => v + 1)];
  return {
    rows: rowsOf(use),
    kept: use.map((v) => varying[v]!),
    atZero: {
      ...atZero,
      gradient: Float64Array.from(places, (j) => atZero.gradient[j]!),
      information: Float64Array.from(
        places.flatMap((j) => places.map((k) => atZero.information[j * q + k]!)),
      ),
    },
  };
}

/**
 * Newton's method with step halving.
 *
 * Stops at the first step that is shorter than `tolerance` standard errors, having taken it: as
 * Newton's error is squared by each step, what is left is of the order of the tolerance squared.
 *
 * @param options.from Where to begin, in terms of the scaled columns, if that is higher than 0 is.
 */
export function climb(
  rows: LogisticRows,
  atZero: LogisticSums,
  options: { tolerance: number; maxIterations: number; from?: Float64Array },
): Climb {
  const q = rows.columns.length + 1;
  const predictor = new Float64Array(rows.n);
  let now = atZero;
  let next = logisticSums(q);
  let beta = new Float64Array(q);
  let isNear = false;
  if (options.from) {
    logisticPass(rows, options.from, next, predictor);
    isNear = next.logLikelihood > now.logLikelihood && next.extreme <= FAR;
  }
  if (isNear) {
    beta = options.from!.slice();
    [now, next] = [next, logisticSums(q)];
  }
  let trial = new Float64Array(q);
  let iterations = 0;
  let reason: string | undefined;
  const separated: number[] = [];
  for (;;) {
    const factor = factorSymmetric(now.information, q, 1e-13);
    const step = solveFactored(factor, now.gradient);
    let decrement = 0; // square of the step's length in standard errors
    for (let j = 0; j < q; j++) decrement += step[j]! * now.gradient[j]!;
    if (now.extreme > FAR && isRecession(rows, step, 1e-6)) {
      let largest = 0;
      for (let j = 0; j < q; j++) largest = Math.max(largest, Math.abs(step[j]!));
      for (let j = 1; j < q; j++) {
        if (Math.abs(step[j]!) > 1e-4 * largest) separated.push(j - 1);
      }
      reason = "the covariates named in separated tell some outcomes apart without error, so " +
        "their coefficients have no finite estimate";
      break;
    }
    if (iterations === options.maxIterations) {
      reason = `no convergence in ${iterations} iterations`;
      break;
    }
    iterations++;
    const last = (isNear || iterations > 1) && decrement <= options.tolerance ** 2;
    let length = iterations === 1 && !isNear ? FIRST_STEP : 1;
    let risen = false;
    // what rounding may cost a log-likelihood that is at its top
    const slack = 1e-13 * Math.abs(now.logLikelihood);
    for (let halving = 0; halving < 40 && !risen; halving++) {
      for (let j = 0; j < q; j++) trial[j] = beta[j]! + length * step[j]!;
      logisticPass(rows, trial, next, predictor, { fitOnly: last });
      risen = last || next.logLikelihood >= now.logLikelihood - slack;
      length /= 2;
    }
    if (!risen) {
      logisticPass(rows, beta, now, predictor);
      reason = "no step raises the likelihood";
      break;
    }
    [beta, trial] = [trial, beta];
    if (last) {
      now.logLikelihood = next.logLikelihood;
      if (factor.dropped.length > 0) reason = "the information matrix became singular";
      break;
    }
    [now, next] = [next, now];
  }
  return {
    beta,
    inverse: invertFactored(factorSymmetric(now.information, q, 1e-13)),
    logLikelihood: now.logLikelihood,
    predictor,
    iterations,
    reason,
    separated,
  };
}
