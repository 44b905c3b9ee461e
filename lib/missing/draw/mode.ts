import { type Factor, factorSymmetric, solveFactored } from "../../numerics/mod.ts";

/** What one pass over the rows finds of a log-likelihood. */
export interface PassSums {
  logLikelihood: number;
  gradient: Float64Array;
  /** Observed information, row-major, symmetric. */
  information: Float64Array;
}

/** Where the posterior is highest, and its curvature there. */
export interface Mode {
  beta: Float64Array;
  factor: Factor;
}

/**
 * Precision of the prior of a coefficient: normal around 0 with standard deviation 2.5 for a column
 * of standard deviation 1. With data that say anything of a coefficient it does nothing; where a
 * column separates the outcomes it keeps the coefficient finite.
 *
 * @see Gelman, Jakulin, Pittau & Su (2008) Ann Appl Stat 2:1360-1383, whose prior is Cauchy with
 * that scale; the normal in its place: common practice, no source.
 */
export const priorPrecision = 1 / 2.5 ** 2;

// A step this short, in standard errors squared, is far below what the draw around the mode adds.
const NEAR = 1e-6;
const MOST = 30;

/**
 * Newton's method, halving steps that lower the log posterior, from `start`.
 *
 * @param free How many of the first coefficients have no prior: constants.
 */
export function posteriorMode(
  pass: (beta: Float64Array) => PassSums,
  start: Float64Array,
  free: (j: number) => boolean,
): Mode {
  const p = start.length;
  const withPrior = (beta: Float64Array) => {
    const { logLikelihood, gradient, information } = pass(beta);
    let height = logLikelihood;
    const slope = gradient.slice();
    const curve = information.slice();
    for (let j = 0; j < p; j++) {
      if (free(j)) continue;
      height -= priorPrecision * beta[j]! ** 2 / 2;
      slope[j]! -= priorPrecision * beta[j]!;
      curve[j * p + j]! += priorPrecision;
    }
    return { height, slope, factor: factorSymmetric(curve, p, 1e-12) };
  };
  let beta = start;
  let now = withPrior(beta);
  for (let iteration = 0; iteration < MOST; iteration++) {
    const step = solveFactored(now.factor, now.slope);
    let decrement = 0;
    for (let j = 0; j < p; j++) decrement += step[j]! * now.slope[j]!;
    if (decrement <= NEAR) break;
    let risen = false;
    for (let length = 1; length > 1e-6 && !risen; length /= 2) {
      const trial = beta.map((value, j) => value + length * step[j]!);
      const there = withPrior(trial);
      risen = there.height >= now.height - 1e-12 * Math.abs(now.height);
      if (risen) [beta, now] = [trial, there];
    }
    if (!risen) break;
  }
  return { beta, factor: now.factor };
}
