import type { Cover } from "./innermost.ts";
import { minorantTarget, type MinorantWork, minorantWork } from "./convex-minorant.ts";

/** Masses that maximise the likelihood, and how well they do. */
export interface Masses {
  mass: Float64Array;
  iterations: number;
  converged: boolean;
  /** Largest directional derivative per unit of weight: at most 0 at the maximum. */
  violation: number;
  logLikelihood: number;
}

/**
 * Maximises sum of w_i log(p_first + ... + p_last) over p >= 0 with sum 1.
 *
 * Each iteration is a self-consistency (EM) step, which never lowers the likelihood, then an
 * iterative convex minorant step: a Newton step with diagonal curvature in the cumulative masses,
 * made monotone by weighted isotonic regression and shortened until it gains. Isotonic regression
 * gives exact zeros and can bring a zero back, which EM alone cannot.
 *
 * Stops on the Kuhn-Tucker conditions: with g_j the sum of w_i / f_i over rows that cover j, over
 * the total weight, p is the maximum exactly when every g_j <= 1; and the log-likelihood per unit
 * of weight is then within max g_j - 1 of its maximum. Cost O(n + m) an iteration.
 *
 * @see Turnbull (1976) JRSS B 38:290-295; Wellner & Zhan (1997) JASA 92:945-959; Jongbloed (1998)
 * J Comput Graph Stat 7:310-321 for the shortened step.
 */
export function maximiseMasses(
  cover: Cover,
  m: number,
  options: { tolerance: number; maxIterations: number },
): Masses {
  const rows = cover.weight.length;
  let total = 0;
  for (let i = 0; i < rows; i++) total += cover.weight[i]!;
  const work = {
    fitted: new Float64Array(rows),
    gradient: new Float64Array(m),
    ...minorantWork(m),
  };
  let mass: Float64Array = new Float64Array(m).fill(1 / m);
  let trial: Float64Array = new Float64Array(m);
  let logLikelihood = fit(cover, mass, work);
  let iterations = 0;
  let violation = steepest(cover, work) / total - 1;
  while (violation > options.tolerance && iterations < options.maxIterations) {
    iterations++;
    // self-consistency; the gradient is that of the present masses
    let sum = 0;
    for (let j = 0; j < m; j++) sum += mass[j] = mass[j]! * work.gradient[j]! / total;
    for (let j = 0; j < m; j++) mass[j]! /= sum;
    logLikelihood = fit(cover, mass, work);
    convexMinorant(cover, mass, work);
    let step = 1;
    for (let halving = 0; halving < 12; halving++, step /= 2) {
      for (let j = 0; j < m; j++) trial[j] = mass[j]! + step * (work.target[j]! - mass[j]!);
      const reached = logLikelihoodOf(cover, trial);
      if (reached > logLikelihood) {
        [mass, trial] = [trial, mass];
        break;
      }
    }
    logLikelihood = fit(cover, mass, work);
    violation = steepest(cover, work) / total - 1;
  }
  return { mass, iterations, converged: violation <= options.tolerance, violation, logLikelihood };
}

type Work = MinorantWork & { fitted: Float64Array; gradient: Float64Array };

/** Probability of each run, and the log-likelihood. */
function fit({ first, last, weight }: Cover, mass: Float64Array, { fitted, slope }: Work): number {
  // slope is free here: it holds the cumulative masses
  let sum = 0;
  for (let j = 0; j < mass.length; j++) slope[j] = sum += mass[j]!;
  let value = 0;
  for (let i = 0; i < weight.length; i++) {
    const [a, b] = [first[i]!, last[i]!];
    // a difference of sums loses digits where one interval stands alone
    const f = a === b ? mass[a]! : slope[b]! - (a > 0 ? slope[a - 1]! : 0);
    fitted[i] = f;
    value += f > 0 ? weight[i]! * Math.log(f) : -Infinity;
  }
  return value;
}

function logLikelihoodOf(cover: Cover, mass: Float64Array): number {
  const { first, last, weight } = cover;
  const upTo = new Float64Array(mass.length + 1);
  for (let j = 0; j < mass.length; j++) upTo[j + 1] = upTo[j]! + mass[j]!;
  let value = 0;
  for (let i = 0; i < weight.length; i++) {
    const [a, b] = [first[i]!, last[i]!];
    const f = a === b ? mass[a]! : upTo[b + 1]! - upTo[a]!;
    if (!(f > 0)) return -Infinity;
    value += weight[i]! * Math.log(f);
  }
  return value;
}

/** Fills the gradient g_j and returns its largest value. */
function steepest({ first, last, weight }: Cover, { fitted, gradient }: Work): number {
  const m = gradient.length;
  gradient.fill(0);
  for (let i = 0; i < weight.length; i++) {
    const g = weight[i]! / fitted[i]!;
    gradient[first[i]!]! += g;
    if (last[i]! + 1 < m) gradient[last[i]! + 1]! -= g;
  }
  let sum = 0;
  let most = -Infinity;
  for (let j = 0; j < m; j++) {
    gradient[j] = sum += gradient[j]!;
    if (sum > most) most = sum;
  }
  return most;
}

/** The convex minorant step of these rows. */
function convexMinorant({ first, last, weight }: Cover, mass: Float64Array, work: Work): void {
  const { fitted, slope, curvature } = work;
  slope.fill(0);
  curvature.fill(0);
  for (let i = 0; i < weight.length; i++) {
    const g = weight[i]! / fitted[i]!;
    const h = g / fitted[i]!;
    slope[last[i]!]! += g;
    curvature[last[i]!]! += h;
    const before = first[i]! - 1;
    if (before >= 0) {
      slope[before]! -= g;
      curvature[before]! += h;
    }
  }
  minorantTarget(mass, work);
}
