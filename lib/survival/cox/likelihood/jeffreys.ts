import {
  distributions,
  dot,
  type Factor,
  factorSymmetric,
  invertFactored,
  solveFactored,
} from "../../../numerics/mod.ts";
import type { CoxDesign } from "../rows/mod.ts";
import type { Evaluate, Evaluation } from "./likelihood.ts";
import { COLLINEAR, type Maximum } from "./newton.ts";
import { informationGradient } from "./third-moments.ts";

/** Penalised log likelihood, its gradient, and the information that steers the steps. */
interface Penalised extends Evaluation {
  factor: Factor;
}

/** Limits and p value of one coefficient from the profile of the penalised likelihood. */
export interface ProfileLimits {
  lower: number;
  upper: number;
  pValue: number;
}

export interface PenalisedMaximum extends Maximum {
  logLikelihoodNull: number;
  scoreStatistic: number;
  /** Of the scaled coefficients. */
  profile: ProfileLimits[];
}

const MAX_STEP = 5;

/**
 * Maximises log likelihood + half the log determinant of the information (Jeffreys' prior), whose
 * gradient adds half the trace of information^-1 times the information's derivative to the score.
 * The maximum is finite even where the likelihood itself rises for ever.
 *
 * Limits and p values: profile of the penalised likelihood, the other coefficients maximised anew
 * at each trial value, because the likelihood of a separated covariate is far from a parabola.
 * Cost O(n p^2) an iteration, some 40 p iterations for the limits.
 *
 * @see Firth (1993) Biometrika 80:27-38; Heinze & Schemper (2001) Biometrics 57:114-119.
 */
export function maximisePenalised(
  design: CoxDesign,
  evaluate: Evaluate,
  options: { efron: boolean; confidence: number; maxIterations: number },
): PenalisedMaximum {
  const { p } = design;
  let logScale = 0;
  for (let j = 0; j < p; j++) logScale += Math.log(design.scale[j]!);

  function penalised(beta: Float64Array): Penalised {
    const at = evaluate(beta);
    const factor = factorSymmetric(at.information, p, COLLINEAR);
    let logDeterminant = 2 * logScale;
    for (let j = 0; j < p; j++) logDeterminant += 2 * Math.log(factor.lower[j * p + j]!);
    const gradient = informationGradient(design, beta, options.efron, invertFactored(factor));
    return {
      logLikelihood: at.logLikelihood + logDeterminant / 2,
      score: at.score.map((u, j) => u + gradient[j]! / 2),
      information: at.information,
      factor,
    };
  }

  const start = penalised(new Float64Array(p));
  const free = Array.from({ length: p }, (_, j) => j);
  const top = climb(penalised, new Float64Array(p), start, free, options.maxIterations);
  const profile = top.converged
    ? free.map((j) => profileLimits(penalised, top, j, options))
    : free.map(() => ({ lower: NaN, upper: NaN, pValue: NaN }));
  return {
    beta: top.beta,
    at: top.at,
    factor: top.at.factor,
    iterations: top.iterations,
    converged: top.converged,
    ...(top.converged ? {} : { reason: `no convergence in ${top.iterations} iterations` }),
    separated: [],
    logLikelihoodNull: start.logLikelihood,
    scoreStatistic: dot(solveFactored(start.factor, start.score), start.score),
    profile,
  };
}

interface Climb {
  beta: Float64Array;
  at: Penalised;
  iterations: number;
  converged: boolean;
}

/** Scoring steps over the free coefficients, the others held, until the gradient is flat. */
function climb(
  penalised: (beta: Float64Array) => Penalised,
  from: Float64Array,
  start: Penalised,
  free: number[],
  maxIterations: number,
): Climb {
  let beta = from;
  let at = start;
  for (let iterations = 0;; iterations++) {
    const step = stepOver(at, free);
    const decrement = free.reduce((sum, j) => sum + step[j]! * at.score[j]!, 0);
    // The information is not the whole curvature, so the steps shrink by a factor, not squared.
    if (decrement < 1e-20) return { beta, at, iterations, converged: true };
    if (iterations >= maxIterations) return { beta, at, iterations, converged: false };
    const longest = step.reduce((most, value) => Math.max(most, Math.abs(value)), 0);
    let fraction = Math.min(1, MAX_STEP / longest);
    let next: Penalised | undefined;
    let trial = beta;
    for (let halving = 0; halving < 30; halving++, fraction /= 2) {
      trial = beta.map((value, j) => value + fraction * step[j]!);
      next = penalised(trial);
      const floor = at.logLikelihood - 1e-12 * (1 + Math.abs(at.logLikelihood));
      if (next.logLikelihood >= floor) break;
      next = undefined;
    }
    if (!next) return { beta, at, iterations, converged: decrement < 1e-12 };
    beta = trial;
    at = next;
  }
}

function stepOver(at: Penalised, free: number[]): Float64Array {
  const p = at.score.length;
  if (free.length === p) return solveFactored(at.factor, at.score);
  const q = free.length;
  const block = new Float64Array(q * q);
  free.forEach((row, a) =>
    free.forEach((column, b) => block[a * q + b] = at.information[row * p + column]!)
  );
  const part = solveFactored(
    factorSymmetric(block, q, COLLINEAR),
    free.map((j) => at.score[j]!),
  );
  const step = new Float64Array(p);
  free.forEach((j, a) => step[j] = part[a]!);
  return step;
}

/** Where twice the drop of the profile reaches the chi-square quantile, on both sides. */
function profileLimits(
  penalised: (beta: Float64Array) => Penalised,
  top: Climb,
  j: number,
  options: { confidence: number; maxIterations: number },
): ProfileLimits {
  const others = top.beta.reduce<number[]>((list, _, k) => k === j ? list : [...list, k], []);
  const z = distributions.normalQuantile((1 + options.confidence) / 2);
  const p = top.beta.length;
  const error = Math.sqrt(invertFactored(top.at.factor)[j * p + j]!);
  let last = top.beta;

  /** Square root of twice the drop when the coefficient is held at `value`. */
  function root(value: number): number {
    const from = last.slice();
    from[j] = value;
    const held = climb(penalised, from, penalised(from), others, options.maxIterations);
    if (!held.converged) return NaN;
    last = held.beta;
    return Math.sqrt(Math.max(0, 2 * (top.at.logLikelihood - held.at.logLikelihood)));
  }

  /** The root is nearly linear in the value, so secant steps settle in a few trials. */
  function limit(sign: 1 | -1): number {
    last = top.beta;
    let near = 0;
    let nearRoot = 0;
    let far = error * z;
    for (let trial = 0; trial < 60; trial++) {
      const reached = root(top.beta[j]! + sign * far);
      if (Number.isNaN(reached)) return NaN;
      if (Math.abs(reached - z) < 1e-8) return top.beta[j]! + sign * far;
      const slope = (reached - nearRoot) / (far - near);
      // A profile that flattens never reaches the quantile: that side is unbounded.
      if (!(slope > 1e-8 / error)) return sign * Infinity;
      const next = far + (z - reached) / slope;
      near = far;
      nearRoot = reached;
      far = next > 0 ? Math.min(next, 4 * near) : near / 2;
    }
    return NaN;
  }

  const lower = limit(-1);
  const upper = limit(1);
  last = top.beta;
  return { lower, upper, pValue: distributions.normalTwoSided(root(0)) };
}
