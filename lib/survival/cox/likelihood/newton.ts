import { dot, type Factor, factorSymmetric, solveFactored } from "../../../numerics/mod.ts";
import type { Evaluate, Evaluation } from "./likelihood.ts";

/** Where the iteration ended, in scaled covariates. */
export interface Maximum {
  beta: Float64Array;
  at: Evaluation;
  factor: Factor;
  iterations: number;
  converged: boolean;
  reason?: string;
  /** Covariates whose coefficient runs off to infinity. */
  separated: number[];
}

/** |change| / (0.1 + |value|): safe where the likelihood is near 0. */
const RELATIVE_CHANGE = 1e-9;
const MAX_HALVINGS = 30;
/** Steps at a level likelihood after which a coefficient that still strides on is running away. */
const LEVEL_STEPS = 3;
/**
 * Squared length of the last step, in standard errors: what is left after it is about its square.
 */
const LAST_STEP = 1e-14;
/** Pivots below this fraction of their diagonal mark a covariate that others determine. */
export const COLLINEAR = 1e-10;

/**
 * Newton's method from 0, halving a step when the likelihood falls.
 *
 * Stops at a relative change of 1e-9 in the log likelihood, but not before the Newton decrement
 * (the squared length of the step, in standard errors) was below 1e-14 too, and takes that last
 * step: with many events a relative change of 1e-9 alone would leave the fifth digit of a
 * coefficient open.
 *
 * A likelihood can level off while a coefficient grows without bound. So when it has levelled, each
 * coefficient's next step is looked at: one that would still move some subject's linear predictor
 * by 0.001, and the coefficient by more than 1e-4 of itself, is named in `separated`.
 *
 * @param start The evaluation at 0, not to be repeated.
 * @param range Range of each covariate.
 */
export function maximise(
  evaluate: Evaluate,
  start: Evaluation,
  options: { range: Float64Array; maxIterations: number },
): Maximum {
  const p = start.score.length;
  let beta: Float64Array = new Float64Array(p);
  let at = start;
  let factor = factorSymmetric(at.information, p, COLLINEAR);
  let iterations = 0;
  let change = Infinity;
  let lastDecrement = Infinity;
  let runaways = 0;
  const end = (converged: boolean, reason?: string, separated: number[] = []): Maximum => ({
    beta,
    at,
    factor,
    iterations,
    converged,
    ...(reason ? { reason } : {}),
    separated,
  });
  for (;;) {
    const step = solveFactored(factor, at.score);
    const decrement = dot(step, at.score);
    const away = runningAway(beta, step, options.range, factor);
    const level = change < RELATIVE_CHANGE;
    runaways = level && away.length > 0 ? runaways + 1 : 0;
    if (runaways >= LEVEL_STEPS) return end(false, "separated", away);
    if (away.length === 0 && (decrement < 1e-20 || (level && lastDecrement < LAST_STEP))) {
      return end(true);
    }
    if (iterations >= options.maxIterations) {
      return end(false, `no convergence in ${iterations} iterations`);
    }
    const next = tryStep(evaluate, beta, step, at);
    if (!next) {
      // No step along the ascent direction raises the likelihood: at its top up to rounding.
      if (away.length > 0) return end(false, "separated", away);
      const atTop = decrement < 1e-6 * (0.1 + Math.abs(at.logLikelihood));
      return atTop ? end(true) : end(false, "no step raised the likelihood");
    }
    iterations++;
    change = Math.abs(next.at.logLikelihood - at.logLikelihood) /
      (0.1 + Math.abs(next.at.logLikelihood));
    lastDecrement = decrement;
    beta = next.beta;
    at = next.at;
    factor = factorSymmetric(at.information, p, COLLINEAR);
  }
}

/** x' A^-1 x for the kept pivots: the score statistic at 0. */
export function scoreStatistic(at: Evaluation, factor: Factor): number {
  return dot(solveFactored(factor, at.score), at.score);
}

/** x' A^-1 x for a symmetric positive definite A. */
export function inverseForm(matrix: Float64Array, x: ArrayLike<number>): number {
  const factor = factorSymmetric(matrix, x.length, 1e-14);
  return dot(solveFactored(factor, x), x);
}

function tryStep(
  evaluate: Evaluate,
  beta: Float64Array,
  step: Float64Array,
  at: Evaluation,
): { beta: Float64Array; at: Evaluation } | undefined {
  // Rounding may lower the sum by this much at the top.
  const floor = at.logLikelihood - 1e-12 * (1 + Math.abs(at.logLikelihood));
  let fraction = 1;
  for (let halving = 0; halving <= MAX_HALVINGS; halving++) {
    const trial = beta.slice();
    for (let j = 0; j < trial.length; j++) trial[j]! += fraction * step[j]!;
    const there = evaluate(trial);
    if (there.logLikelihood >= floor && isFinite(there)) return { beta: trial, at: there };
    fraction /= 2;
  }
  return undefined;
}

function isFinite({ logLikelihood, score, information }: Evaluation): boolean {
  return Number.isFinite(logLikelihood) && score.every(Number.isFinite) &&
    information.every(Number.isFinite);
}

function runningAway(
  beta: Float64Array,
  nextStep: Float64Array,
  range: Float64Array,
  factor: Factor,
): number[] {
  const names: number[] = [];
  for (let j = 0; j < beta.length; j++) {
    const size = Math.abs(nextStep[j]!);
    const moves = size * range[j]! > 1e-3 && size > 1e-4 * Math.abs(beta[j]!);
    // A pivot that was there at 0 and is gone now: the information has run out along it.
    if (moves || factor.dropped.includes(j)) names.push(j);
  }
  return names;
}
