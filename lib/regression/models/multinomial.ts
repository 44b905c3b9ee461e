import { factorSymmetric, invertFactored, solveFactored } from "../../numerics/mod.ts";
import { scaledRows } from "./logistic-newton.ts";
import {
  isMultinomialRecession,
  multinomialPass,
  type MultinomialRows,
} from "./multinomial-kernel.ts";

/** A fitted multinomial logistic regression, its covariates as given. */
export interface MultinomialFit {
  /** Indices of the columns in the model: not constant, not combinations of earlier ones. */
  kept: number[];
  /** For each arm but the first: constant, then the columns kept. */
  coefficients: Float64Array[];
  /** In the same order. */
  standardErrors: Float64Array[];
  /** Probability of every arm, one column an arm. */
  score: Float64Array[];
  logLikelihood: number;
  iterations: number;
  /** Why there is no convergence; absent where there is. */
  reason: string | undefined;
  /** Indices of columns that tell some arms apart without error. */
  separated: number[];
}

// Past this linear predictor (odds of a million to one) separation is looked for.
const FAR = 14;
const MOST_ITERATIONS = 50;
// Newton's error is squared by each step: a last step this short leaves 1e-12 of a standard error.
const SHORT = 1e-6;

/**
 * Multinomial logistic regression by maximum likelihood, the first arm the reference:
 * log(e_j / e_1) = constant_j + sum of coefficient_j * covariate.
 *
 * Newton's method with the full information on centred and scaled columns, halving a step that
 * lowers the likelihood. Separation is proved by a direction in which no row loses. Cost: O(n (arms
 * q)^2 / 4) an iteration, usually 5 to 8.
 *
 * @param arm Codes 0 .. arms - 1, each present.
 */
export function fitMultinomial(
  { arm, arms, columns }: { arm: Int32Array; arms: number; columns: Float64Array[] },
): MultinomialFit {
  const n = arm.length;
  const outcome = Uint8Array.from(arm, (code) => code === 0 ? 1 : 0);
  const { rows: scaled, kept } = scaledRows({ n, columns, outcome, weight: undefined });
  const { centre, scale } = scaled;
  const rows: MultinomialRows = {
    level: arm,
    top: arms - 1,
    columns: scaled.columns.map((column, j) =>
      column.map((value) => (value - centre[j]!) * scale[j]!)
    ),
  };
  const q = kept.length + 1;
  const p = (arms - 1) * q;
  const score = Array.from({ length: arms }, () => new Float64Array(n));
  let beta: Float64Array = new Float64Array(p);
  let now = multinomialPass(rows, beta, score);
  let iterations = 0;
  let reason: string | undefined;
  const separated = new Set<number>();
  for (;;) {
    const factor = factorSymmetric(now.information, p, 1e-13);
    const step = solveFactored(factor, now.gradient);
    if (now.extreme > FAR && isMultinomialRecession(rows, step, 1e-6)) {
      const largest = step.reduce((most, value) => Math.max(most, Math.abs(value)), 0);
      step.forEach((value, place) => {
        const j = place % q;
        if (j > 0 && Math.abs(value) > 1e-4 * largest) separated.add(kept[j - 1]!);
      });
      reason = "the covariates named in separated tell some arms apart without error, so their " +
        "coefficients have no finite estimate";
      break;
    }
    if (iterations === MOST_ITERATIONS) {
      reason = `no convergence in ${iterations} iterations`;
      break;
    }
    iterations++;
    // square of the step's length in standard errors
    const decrement = step.reduce((sum, value, j) => sum + value * now.gradient[j]!, 0);
    const last = decrement <= SHORT ** 2;
    const slack = 1e-13 * Math.abs(now.logLikelihood); // what rounding may cost at the top
    let trial: Float64Array | undefined;
    for (let halving = 0, length = 1; halving < 40 && !trial; halving++, length /= 2) {
      const there = beta.map((value, j) => value + length * step[j]!);
      const found = multinomialPass(rows, there, score);
      if (!last && !(found.logLikelihood >= now.logLikelihood - slack)) continue;
      now = found;
      trial = there;
    }
    if (!trial) {
      multinomialPass(rows, beta, score);
      reason = "no step raises the likelihood";
      break;
    }
    beta = trial;
    if (last) {
      if (factor.dropped.length > 0) reason = "the information matrix became singular";
      break;
    }
  }
  const inverse = invertFactored(factorSymmetric(now.information, p, 1e-13));
  const place = { q, p, centre, scale };
  const of = Array.from({ length: arms - 1 }, (_, a) => unscaled(beta, inverse, a, place));
  return {
    kept,
    coefficients: of.map(({ coefficient }) => coefficient),
    standardErrors: of.map(({ standardError }) => standardError),
    score,
    logLikelihood: now.logLikelihood,
    iterations,
    reason,
    separated: [...separated].sort((one, other) => one - other),
  };
}

/** Coefficients of one arm and their errors, for the covariates as given. */
function unscaled(
  beta: Float64Array,
  inverse: Float64Array,
  arm: number,
  { q, p, centre, scale }: { q: number; p: number; centre: Float64Array; scale: Float64Array },
): { coefficient: Float64Array; standardError: Float64Array } {
  const from = arm * q;
  const coefficient = new Float64Array(q);
  const standardError = new Float64Array(q);
  // what the constant takes of each scaled coefficient
  const share = Float64Array.from(
    { length: q },
    (_, j) => j === 0 ? 1 : -centre[j - 1]! * scale[j - 1]!,
  );
  let variance = 0;
  for (let j = 0; j < q; j++) {
    coefficient[0]! += share[j]! * beta[from + j]!;
    for (let k = 0; k < q; k++) {
      variance += share[j]! * share[k]! * inverse[(from + j) * p + from + k]!;
    }
    if (j === 0) continue;
    coefficient[j] = beta[from + j]! * scale[j - 1]!;
    standardError[j] = Math.sqrt(inverse[(from + j) * p + from + j]!) * scale[j - 1]!;
  }
  standardError[0] = Math.sqrt(variance);
  return { coefficient, standardError };
}
