import {
  addWeightedProducts,
  type Evaluate,
  type Evaluation,
  mirror,
} from "../../survival/cox/mod.ts";
import type { SubdistributionDesign } from "./design.ts";

/** The weighted risk sets at one value of the coefficients, in units of exp(-shift). */
export interface WeightedRiskSets {
  /** Case weight times exp(linear predictor - shift), by place. */
  risk: Float64Array;
  /** Sum of weighted risks of each group, and of risk times covariate (groups x p). */
  total: Float64Array;
  moment: Float64Array;
  /** Hazard increment of each group: the sum of its terms' share / denominator. */
  hazard: Float64Array;
  /** Sum of its terms' hazard times the mean covariates of the term (groups x p). */
  hazardMean: Float64Array;
  /** The hazard its own events are spared (0 but for tied events, Efron), and times the means. */
  spared: Float64Array;
  sparedMean: Float64Array;
  /** Mean of its terms' mean covariates (groups x p). */
  eventMean: Float64Array;
  shift: number;
  logLikelihood: number;
}

/**
 * A term of the likelihood: its group, the fraction of its events removed,
 * share, denominator, mean.
 */
export type VisitTerm = (
  group: number,
  fraction: number,
  share: number,
  denominator: number,
  mean: Float64Array,
) => void;

/** Scratch for {@link walkWeightedRiskSets}. */
export function weightedRiskSets({ n, p, groups }: SubdistributionDesign): WeightedRiskSets {
  return {
    risk: new Float64Array(n),
    total: new Float64Array(groups),
    moment: new Float64Array(groups * p),
    hazard: new Float64Array(groups),
    hazardMean: new Float64Array(groups * p),
    spared: new Float64Array(groups),
    sparedMean: new Float64Array(groups * p),
    eventMean: new Float64Array(groups * p),
    shift: 0,
    logLikelihood: 0,
  };
}

/**
 * The sums over all risk sets in two passes, without a row more than there are subjects.
 *
 * At an event time t the risk set is everyone under observation, with weight 1, and everyone with
 * an earlier competing event, with weight G(t-) / G(T-). The first sum grows from the last time
 * backwards. The second is G(t-) times a sum that grows from the first time forwards, because only
 * G(t-) depends on t; one such sum a censoring group. Cost O(n p).
 */
export function walkWeightedRiskSets(
  design: SubdistributionDesign,
  beta: Float64Array,
  efron: boolean,
  sets: WeightedRiskSets,
  visit?: VisitTerm,
): void {
  const { n, p, x, weight, groups, groupStart, groupEvents, competing, inverse } = design;
  const { count, at } = design.censoring;
  const { risk, total, moment, hazard, hazardMean, spared, sparedMean, eventMean } = sets;
  let largest = -Infinity;
  for (let i = 0, base = 0; i < n; i++, base += p) {
    let eta = 0;
    for (let j = 0; j < p; j++) eta += beta[j]! * x[base + j]!;
    risk[i] = eta;
    if (eta > largest) largest = eta;
  }
  sets.shift = largest;
  let logLikelihood = 0;
  for (let k = 0; k < groups; k++) {
    const from = groupStart[k]!;
    for (let i = from; i < from + groupEvents[k]!; i++) {
      logLikelihood += (weight ? weight[i]! : 1) * (risk[i]! - largest);
    }
  }
  for (let i = 0; i < n; i++) {
    risk[i] = (weight ? weight[i]! : 1) * Math.exp(risk[i]! - largest);
  }
  // backwards: those under observation
  const sum = new Float64Array(p);
  let risks = 0;
  for (let k = groups - 1, i = n - 1; k >= 0; k--) {
    for (; i >= groupStart[k]!; i--) {
      const r = risk[i]!;
      risks += r;
      const base = i * p;
      for (let j = 0; j < p; j++) sum[j]! += r * x[base + j]!;
    }
    total[k] = risks;
    for (let j = 0; j < p; j++) moment[k * p + j] = sum[j]!;
  }
  // forwards: those with an earlier competing event; then the terms
  const kept = new Float64Array(count);
  const keptSum = new Float64Array(count * p);
  const mean = new Float64Array(p);
  const eventSum = new Float64Array(p);
  for (let k = 0, c = 0; k < groups; k++) {
    const from = groupStart[k]!;
    for (; c < competing.length && competing[c]! < from; c++) {
      const i = competing[c]!;
      const g = design.competingGroup[c]!;
      const r = risk[i]! * inverse[c]!;
      kept[g]! += r;
      for (let j = 0; j < p; j++) keptSum[g * p + j]! += r * x[i * p + j]!;
    }
    const row = k * p;
    for (let g = 0; g < count; g++) {
      const G = at[k * count + g]!;
      if (G === 0) continue;
      total[k]! += G * kept[g]!;
      for (let j = 0; j < p; j++) moment[row + j]! += G * keptSum[g * p + j]!;
    }
    const events = groupEvents[k]!;
    const tied = efron && events > 1;
    let eventWeight = 0;
    let eventRisk = 0;
    if (tied) eventSum.fill(0);
    for (let i = from; i < from + events; i++) {
      eventWeight += weight ? weight[i]! : 1;
      if (!tied) continue;
      eventRisk += risk[i]!;
      for (let j = 0; j < p; j++) eventSum[j]! += risk[i]! * x[i * p + j]!;
    }
    const terms = tied ? events : 1;
    const share = eventWeight / terms;
    hazard[k] = spared[k] = 0;
    hazardMean.fill(0, row, row + p);
    sparedMean.fill(0, row, row + p);
    eventMean.fill(0, row, row + p);
    for (let m = 0; m < terms; m++) {
      const fraction = m / terms;
      const denominator = total[k]! - fraction * eventRisk;
      const h = share / denominator;
      logLikelihood -= share * Math.log(denominator);
      hazard[k]! += h;
      spared[k]! += fraction * h;
      for (let j = 0; j < p; j++) {
        mean[j] = (moment[row + j]! - (tied ? fraction * eventSum[j]! : 0)) / denominator;
        hazardMean[row + j]! += h * mean[j]!;
        sparedMean[row + j]! += fraction * h * mean[j]!;
        eventMean[row + j]! += mean[j]! / terms;
      }
      if (visit) visit(k, fraction, share, denominator, mean);
    }
  }
  sets.logLikelihood = logLikelihood;
}

/**
 * The weighted log partial likelihood of Fine and Gray with its derivatives.
 *
 * The information is arranged as for a Cox model: the sum over rows of E_i x_i x_i' less the sum
 * over terms of share m m', E_i the events expected of row i: risk times the increments while under
 * observation and, after a competing event, times the increments weighted by G(t-) / G(T-).
 * Cost O(n p^2).
 */
export function subdistributionLikelihood(design: SubdistributionDesign, efron: boolean): Evaluate {
  const { n, p, x, weight, groups, groupStart, groupEvents } = design;
  const sets = weightedRiskSets(design);
  const eventSum = new Float64Array(p);
  for (let k = 0; k < groups; k++) {
    for (let i = groupStart[k]!; i < groupStart[k]! + groupEvents[k]!; i++) {
      for (let j = 0; j < p; j++) eventSum[j]! += (weight ? weight[i]! : 1) * x[i * p + j]!;
    }
  }
  return function evaluate(beta: Float64Array): Evaluation {
    const information = new Float64Array(p * p);
    walkWeightedRiskSets(design, beta, efron, sets, (_k, _fraction, share, _denominator, mean) => {
      for (let a = 0; a < p; a++) {
        const scaled = share * mean[a]!;
        for (let b = 0; b <= a; b++) information[a * p + b]! -= scaled * mean[b]!;
      }
    });
    expectedEvents(design, sets);
    const expected = new Float64Array(p);
    addWeightedProducts(x, p, 0, n, sets.risk, information, expected);
    mirror(information, p);
    const score = new Float64Array(p);
    for (let j = 0; j < p; j++) score[j] = eventSum[j]! - expected[j]!;
    return { logLikelihood: sets.logLikelihood, score, information };
  };
}

/** Turns `sets.risk` into expected events, in place. */
export function expectedEvents(design: SubdistributionDesign, sets: WeightedRiskSets): void {
  const { n, groups, groupStart, groupEvents, competing, inverse, competingGroup } = design;
  const { count, at } = design.censoring;
  const { risk, hazard, spared } = sets;
  const exposure = new Float64Array(competing.length);
  // backwards: what each competing event is still exposed to after its time
  const later = new Float64Array(count);
  for (let c = competing.length - 1, k = groups - 1; c >= 0; c--) {
    for (; k >= 0 && groupStart[k]! > competing[c]!; k--) {
      for (let g = 0; g < count; g++) later[g]! += at[k * count + g]! * hazard[k]!;
    }
    exposure[c] = later[competingGroup[c]!]! * inverse[c]!;
  }
  let cumulative = 0;
  for (let i = 0, k = 0, c = 0; i < n; i++) {
    if (k < groups && groupStart[k] === i) cumulative += hazard[k++]!;
    const own = k > 0 && i < groupStart[k - 1]! + groupEvents[k - 1]!;
    let exposed = own ? cumulative - spared[k - 1]! : cumulative;
    if (c < competing.length && competing[c] === i) exposed += exposure[c++]!;
    risk[i]! *= exposed;
  }
}
