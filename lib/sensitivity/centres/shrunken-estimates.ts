import {
  checkConfidence,
  checkDataColumns,
  distributions,
  type Interval,
  invertTail,
} from "../../numerics/mod.ts";
import { centreMean, restrictedLogLikelihood } from "./between-variance.ts";
import { centreColumns, type CentreEstimates } from "./centre-columns.ts";

/** One population's estimate, drawn towards the mean of all. */
export interface ShrunkenEstimate extends Interval {
  /** How far it was drawn: 0 not at all, 1 all the way to the mean. */
  shrinkage: number;
}

/** Estimates of several populations that inform one another. */
export interface ShrunkenEstimates {
  /** One a population. */
  populations: ShrunkenEstimate[];
  /** The mean that they are drawn towards. */
  mean: Interval;
  /** Standard deviation between the populations' true values, averaged over what is possible. */
  betweenDeviation: number;
}

const NODES = 200;

/**
 * Shrinks estimates of populations that share no patient towards their mean.
 *
 * Each true value is taken as normal about a common mean. What each population's own data say
 * counts in proportion to their precision; the rest comes from the others. The variance between
 * populations is not set to its one best value, which with few populations is often 0 and far too
 * sure of itself: everything is averaged over its posterior, from a flat prior for the mean and
 * Jeffreys' for the variance, sqrt(sum 1 / (v + tau^2)^2). Limits are quantiles of that mixture, so
 * they carry the doubt about tau.
 *
 * They answer "what is likely in this population, given the others too". Averaged over the
 * populations of a comparison, 95 % limits held the truth in 94 to 98 % of simulations with two to
 * six populations, whatever tau; for one that truly stands apart they hold it less often. Show the
 * separate estimates beside them. Cost: some 2,000 passes over the populations.
 *
 * @example
 * ```ts
 * import { shrunkenEstimates } from "mitral";
 * shrunkenEstimates({ estimates: [0.06, 0.35], variances: [0.0004, 0.003] }).populations;
 * ```
 * @throws {DataError} on fewer than two populations, or a variance not above 0.
 * @see Morris (1983) JASA 78:47-65 (shrinkage and its limits); the prior: Tiao & Tan (1965)
 * Biometrika 52:37-53, with unlike variances Bodnar, Link, Arendacka, Possolo & Elster (2017) Stat
 * Med 36:378-399.
 */
export function shrunkenEstimates(
  data: CentreEstimates,
  options: { confidence?: number } = {},
): ShrunkenEstimates {
  checkDataColumns("shrunkenEstimates", data, ["estimates", "variances"]);
  const tail = (1 - checkConfidence(options.confidence)) / 2;
  const { y, v } = centreColumns(data);
  let inverse = 0;
  for (const variance of v) inverse += 1 / variance;
  const typical = y.length / inverse;
  // tau^2 = typical (1 - b) / b with b = u^2, u in the middle of equal steps from 0 to 1
  const steps = Float64Array.from({ length: NODES }, (_, node) => (node + 0.5) / NODES);
  const between = steps.map((u) => typical * (1 - u * u) / (u * u));
  const logs = between.map((t, node) => {
    let information = 0;
    for (const variance of v) information += 1 / (variance + t) ** 2;
    // the prior, times what a step of u is in tau^2
    return restrictedLogLikelihood(y, v, t) + Math.log(information) / 2 -
      3 * Math.log(steps[node]!);
  });
  const highest = logs.reduce((most, value) => Math.max(most, value), -Infinity);
  const share = logs.map((value) => Math.exp(value - highest));
  const total = share.reduce((sum, value) => sum + value, 0);
  for (let node = 0; node < NODES; node++) share[node]! /= total;

  const means = new Float64Array(NODES);
  const deviations = new Float64Array(NODES);
  between.forEach((t, node) => {
    const { mean, precision } = centreMean(y, v, t);
    means[node] = mean;
    deviations[node] = Math.sqrt(1 / precision);
  });
  const ofMean = mixture(share, means, deviations, tail);
  const populations = Array.from(y, (own, i): ShrunkenEstimate => {
    const centres = new Float64Array(NODES);
    const spreads = new Float64Array(NODES);
    let shrinkage = 0;
    for (let node = 0; node < NODES; node++) {
      const b = v[i]! / (v[i]! + between[node]!);
      centres[node] = b * means[node]! + (1 - b) * own;
      spreads[node] = Math.sqrt(v[i]! * (1 - b) + (b * deviations[node]!) ** 2);
      shrinkage += share[node]! * b;
    }
    return { ...mixture(share, centres, spreads, tail), shrinkage };
  });
  let betweenDeviation = 0;
  for (let node = 0; node < NODES; node++) {
    betweenDeviation += share[node]! * Math.sqrt(between[node]!);
  }
  return { populations, mean: ofMean, betweenDeviation };
}

/** Mean, standard deviation and tail quantiles of a mixture of normals. */
function mixture(
  share: Float64Array,
  centre: Float64Array,
  deviation: Float64Array,
  tail: number,
): Interval {
  let estimate = 0;
  for (let k = 0; k < share.length; k++) estimate += share[k]! * centre[k]!;
  let variance = 0;
  for (let k = 0; k < share.length; k++) {
    variance += share[k]! * (deviation[k]! ** 2 + (centre[k]! - estimate) ** 2);
  }
  const standardError = Math.sqrt(variance);
  // the tail beyond a limit so many standard errors away
  const limit = (side: 1 | -1) =>
    estimate + side * standardError * invertTail(
        (u) => {
          let sum = 0;
          for (let k = 0; k < share.length; k++) {
            const away = side * (estimate - centre[k]!) + u * standardError;
            sum += share[k]! * distributions.normalUpper(away / deviation[k]!);
          }
          return sum;
        },
        tail,
        "falling",
      );
  return { estimate, standardError, lower: limit(-1), upper: limit(1) };
}
