import { factorSymmetric, solveFactored } from "../../numerics/mod.ts";

/** See {@link tiltedShares}. */
export interface TiltedShares {
  /** One a row, adding up to 1. */
  share: Float64Array;
  iterations: number;
  /** Largest absolute mean that is left, and of which column. */
  imbalance: number;
  worst: number;
  /** Whether nothing is left but rounding. */
  converged: boolean;
}

/**
 * Shares proportional to base exp(lambda' x) under which every column has mean 0: of all such
 * shares the nearest to `base` by relative entropy. Newton's method with step halving on the convex
 * dual log sum base exp(lambda' x). Where 0 lies outside what the rows span there are none, and
 * what is left is in `imbalance`. Cost O(rows columns^2) a step.
 *
 * @param x Row-major, rows x columns.
 * @param options.base Above 0; equal shares where there is none.
 * @see Hainmueller (2012) Political Analysis 20:25-46.
 */
export function tiltedShares(
  x: Float64Array,
  options: { rows: number; columns: number; maxIterations: number; base?: Float64Array },
): TiltedShares {
  const { rows, columns, maxIterations, base = new Float64Array(rows).fill(1) } = options;
  let lambda = new Float64Array(columns);
  let now = dual(x, base, lambda);
  let iterations = 0;
  let converged = false;
  while (!(converged = largest(now.gradient) <= 1e-10) && iterations < maxIterations) {
    iterations++;
    const step = solveFactored(factorSymmetric(now.hessian, columns, 1e-12), now.gradient);
    let length = 1;
    let next = now;
    let trial = lambda;
    let fallen = false;
    for (let halving = 0; halving < 40 && !fallen; halving++) {
      trial = lambda.map((value, j) => value - length * step[j]!);
      next = dual(x, base, trial);
      fallen = next.value <= now.value + 1e-15 * Math.abs(now.value) &&
        (next.value < now.value || largest(next.gradient) < largest(now.gradient));
      length /= 2;
    }
    if (!fallen) break;
    lambda = trial;
    now = next;
  }
  const imbalance = largest(now.gradient);
  return {
    share: now.share,
    iterations,
    imbalance,
    converged: converged || imbalance <= 1e-9,
    worst: now.gradient.findIndex((g) => Math.abs(g) === imbalance),
  };
}

function dual(x: Float64Array, base: Float64Array, lambda: Float64Array) {
  const p = lambda.length;
  const m = base.length;
  const share = new Float64Array(m);
  let top = -Infinity;
  for (let i = 0; i < m; i++) {
    let eta = 0;
    for (let j = 0; j < p; j++) eta += lambda[j]! * x[i * p + j]!;
    share[i] = eta;
    if (eta > top) top = eta;
  }
  let total = 0;
  for (let i = 0; i < m; i++) total += share[i] = base[i]! * Math.exp(share[i]! - top);
  const gradient = new Float64Array(p);
  const hessian = new Float64Array(p * p);
  for (let i = 0; i < m; i++) {
    const w = share[i]! /= total;
    for (let j = 0; j < p; j++) {
      const v = w * x[i * p + j]!;
      gradient[j]! += v;
      for (let k = 0; k <= j; k++) hessian[j * p + k]! += v * x[i * p + k]!;
    }
  }
  for (let j = 0; j < p; j++) {
    for (let k = 0; k <= j; k++) {
      hessian[j * p + k]! -= gradient[j]! * gradient[k]!;
      hessian[k * p + j] = hessian[j * p + k]!;
    }
  }
  return { value: top + Math.log(total), share, gradient, hessian };
}

function largest(values: Float64Array): number {
  return values.reduce((most, value) => Math.max(most, Math.abs(value)), 0);
}
