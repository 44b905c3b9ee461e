import { blockEnd, type CoxDesign, mirror } from "../rows/mod.ts";
import { type Evaluate, type Evaluation, sumOverDeaths } from "./likelihood.ts";

/**
 * The discrete conditional likelihood: at an event time with d deaths, the probability that of all
 * sets of d among those at risk it was this one, with odds proportional to exp(linear predictor).
 *
 * For every size k = 0..d we keep the logarithm of the sum over sets of that size, and the mean and
 * covariance of the set's covariate total when a set is drawn with those odds. A newcomer with
 * covariates x is in the drawn set of size k with probability
 *
 *   q = 1 / (1 + exp(L[k] - L[k-1] - eta)),
 *
 * and the new mean and covariance are those of the mixture of "sets without" (k) and "sets of k - 1
 * with the newcomer added". Probabilities and mixtures neither overflow nor subtract, whatever
 * the number of sets. Cost O(n D p^2) for D the largest number of tied deaths; with delayed entry
 * the sum over event times of (at risk) x (deaths) x p^2.
 *
 * @see Cox (1972) JRSS B 34:187-220, eq. 14; Gail, Lubin & Rubinstein (1981) Biometrika 68:703-707
 * for the recursion on set sizes.
 */
export function exactLikelihood(design: CoxDesign): Evaluate {
  const { p, x, groupStart, groupDeaths, stratumGroup, stratumStart, firstGroup } = design;
  const deathSum = sumOverDeaths(design);
  const largest = runningMaxima(design);
  let most = 0;
  for (let k = 0; k < design.groups; k++) most = Math.max(most, groupDeaths[k]!);
  const log = new Float64Array(most + 1);
  const mean = new Float64Array((most + 1) * p);
  const covariance = new Float64Array((most + 1) * p * p);
  const shift = new Float64Array(p);

  function clear(): void {
    log.fill(-Infinity);
    log[0] = 0;
    mean.fill(0);
    covariance.fill(0);
  }

  /** Brings in the row at a place, for set sizes up to `sizes`. */
  function include(place: number, eta: number, sizes: number): void {
    for (let k = sizes; k >= 1; k--) {
      const without = log[k]!;
      const within = log[k - 1]! + eta;
      if (within === -Infinity) continue;
      const q = without === -Infinity ? 1 : 1 / (1 + Math.exp(without - within));
      const rest = without === -Infinity ? 0 : 1 / (1 + Math.exp(within - without));
      log[k] = without > within
        ? without + Math.log1p(Math.exp(within - without))
        : within + Math.log1p(Math.exp(without - within));
      for (let a = 0; a < p; a++) {
        const from = mean[k * p + a]!;
        shift[a] = mean[(k - 1) * p + a]! + x[place * p + a]! - from;
        mean[k * p + a] = without === -Infinity ? from + shift[a]! : from + q * shift[a]!;
      }
      const base = k * p * p;
      const less = base - p * p;
      for (let a = 0; a < p; a++) {
        const spread = q * rest * shift[a]!;
        for (let b = 0; b <= a; b++) {
          const at = a * p + b;
          covariance[base + at] = rest * covariance[base + at]! + q * covariance[less + at]! +
            spread * shift[b]!;
        }
      }
    }
  }

  function predictor(place: number, beta: Float64Array): number {
    let eta = 0;
    for (let j = 0; j < p; j++) eta += beta[j]! * x[place * p + j]!;
    return eta;
  }

  return function evaluate(beta: Float64Array): Evaluation {
    const information = new Float64Array(p * p);
    const score = deathSum.slice();
    let logLikelihood = 0;
    for (let s = 0; s < design.strata; s++) {
      clear();
      for (let k = stratumGroup[s + 1]! - 1; k >= stratumGroup[s]!; k--) {
        const deaths = groupDeaths[k]!;
        const from = groupStart[k]!;
        if (firstGroup) {
          clear();
          for (let i = from; i < stratumStart[s + 1]!; i++) {
            if (firstGroup[i]! <= k) include(i, predictor(i, beta), deaths);
          }
        } else {
          const to = blockEnd(design, s, k);
          for (let i = from; i < to; i++) include(i, predictor(i, beta), largest[k]!);
        }
        for (let i = from; i < from + deaths; i++) logLikelihood += predictor(i, beta);
        logLikelihood -= log[deaths]!;
        for (let j = 0; j < p; j++) score[j]! -= mean[deaths * p + j]!;
        const base = deaths * p * p;
        for (let at = 0; at < p * p; at++) information[at]! += covariance[base + at]!;
      }
    }
    mirror(information, p);
    return { logLikelihood, score, information };
  };
}

/** For each group, the most deaths at any time of its stratum up to its own. */
function runningMaxima(design: CoxDesign): Int32Array {
  const largest = design.groupDeaths.slice();
  for (let s = 0; s < design.strata; s++) {
    for (let k = design.stratumGroup[s]! + 1; k < design.stratumGroup[s + 1]!; k++) {
      largest[k] = Math.max(largest[k]!, largest[k - 1]!);
    }
  }
  return largest;
}
