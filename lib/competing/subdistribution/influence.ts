import type { SubdistributionDesign } from "./design.ts";
import type { WeightedRiskSets } from "./likelihood.ts";

/**
 * Each place's contribution to the score, n x p: w_i dU/dw_i.
 *
 * The first part is the score residual of the weighted likelihood,
 *
 *   w_i (x_i - mean) at an event  -  risk_i * sum of weight_i(t) (x_i - mean(t)) dH(t).
 *
 * The second, where `estimatedWeights`, is for G having been estimated (Fine and Gray 1999, section
 * 3): with pi(u) the weight at risk of censoring,
 *
 *   psi_i = q(T_i)/pi(T_i) if censored  -  sum over u <= T_i of q(u) c(u) / pi(u)^2,
 *   q(u) = sum over competing events T < u of risk / G(T-) * sum over t >= u of (x -
 *   mean(t)) G(t-) dH(t).
 *
 * Two passes; cost O(n p).
 *
 * @param emphasis What each group's term of the score is multiplied by (default 1); `sets` must
 * then hold hazards multiplied by it.
 */
export function scoreContributions(
  design: SubdistributionDesign,
  sets: WeightedRiskSets,
  estimatedWeights: boolean,
  emphasis?: Float64Array,
): Float64Array {
  const { n, p, x, weight, groups, groupStart, groupEvents } = design;
  const { competing, inverse, competingGroup } = design;
  const { count, at } = design.censoring;
  const { risk, hazard, hazardMean, spared, sparedMean, eventMean } = sets;
  const out = new Float64Array(n * p);
  let cumulative = 0;
  const cumulativeMean = new Float64Array(p);
  for (let i = 0, k = 0; i < n; i++) {
    if (k < groups && groupStart[k] === i) {
      cumulative += hazard[k]!;
      for (let j = 0; j < p; j++) cumulativeMean[j]! += hazardMean[k * p + j]!;
      k++;
    }
    const r = risk[i]!;
    const base = i * p;
    if (k > 0 && i < groupStart[k - 1]! + groupEvents[k - 1]!) {
      // an event: compared with the average mean of its group's terms
      const row = (k - 1) * p;
      const w = (weight ? weight[i]! : 1) * (emphasis ? emphasis[k - 1]! : 1);
      const exposed = cumulative - spared[k - 1]!;
      for (let j = 0; j < p; j++) {
        const value = x[base + j]!;
        out[base + j] = w * (value - eventMean[row + j]!) -
          r * (value * exposed - cumulativeMean[j]! + sparedMean[row + j]!);
      }
    } else {
      for (let j = 0; j < p; j++) {
        out[base + j] = -r * (x[base + j]! * cumulative - cumulativeMean[j]!);
      }
    }
  }
  const later = new Float64Array(count);
  const laterMean = new Float64Array(count * p);
  for (let c = competing.length - 1, k = groups - 1; c >= 0; c--) {
    const i = competing[c]!;
    for (; k >= 0 && groupStart[k]! > i; k--) {
      for (let g = 0; g < count; g++) {
        const G = at[k * count + g]!;
        later[g]! += G * hazard[k]!;
        for (let j = 0; j < p; j++) laterMean[g * p + j]! += G * hazardMean[k * p + j]!;
      }
    }
    const g = competingGroup[c]!;
    const r = risk[i]! * inverse[c]!;
    for (let j = 0; j < p; j++) {
      out[i * p + j]! -= r * (x[i * p + j]! * later[g]! - laterMean[g * p + j]!);
    }
  }
  if (estimatedWeights) addCensoring(design, out, p, censoringPull(design, sets));
  return out;
}

/** q(u) at each step of censoring, steps x p. */
function censoringPull(design: SubdistributionDesign, sets: WeightedRiskSets): Float64Array {
  const { p, x, groups, groupStart, competing, inverse, competingGroup } = design;
  const { count, at, place, group } = design.censoring;
  const { risk, hazard, hazardMean } = sets;
  const steps = place.length;
  const q = new Float64Array(steps * p);
  const kept = new Float64Array(count);
  const keptSum = new Float64Array(count * p);
  const keptAt = new Float64Array(steps);
  for (let s = 0, c = 0; s < steps; s++) {
    for (; c < competing.length && competing[c]! < place[s]!; c++) {
      const i = competing[c]!;
      const g = competingGroup[c]!;
      const r = risk[i]! * inverse[c]!;
      kept[g]! += r;
      for (let j = 0; j < p; j++) keptSum[g * p + j]! += r * x[i * p + j]!;
    }
    const g = group[s]!;
    keptAt[s] = kept[g]!;
    for (let j = 0; j < p; j++) q[s * p + j] = keptSum[g * p + j]!;
  }
  const later = new Float64Array(count);
  const laterMean = new Float64Array(count * p);
  for (let s = steps - 1, k = groups - 1; s >= 0; s--) {
    for (; k >= 0 && groupStart[k]! >= place[s]!; k--) {
      for (let g = 0; g < count; g++) {
        const G = at[k * count + g]!;
        later[g]! += G * hazard[k]!;
        for (let j = 0; j < p; j++) laterMean[g * p + j]! += G * hazardMean[k * p + j]!;
      }
    }
    const g = group[s]!;
    for (let j = 0; j < p; j++) {
      q[s * p + j] = q[s * p + j]! * later[g]! - keptAt[s]! * laterMean[g * p + j]!;
    }
  }
  return q;
}

/**
 * Adds w_i psi_i to rows of length p, given q at each step of censoring: the influence of row i on
 * a statistic through the estimate of G. Cost O(n p).
 */
export function addCensoring(
  { n, weight, censoring }: SubdistributionDesign,
  out: Float64Array,
  p: number,
  q: Float64Array,
): void {
  const { count, place, end, group, censored, atRisk, codeAt, from } = censoring;
  const taken = new Float64Array(count * p); // sum of q c / pi^2
  const now = new Int32Array(count).fill(-1);
  let s = 0;
  for (let i = 0; i < n; i++) {
    for (; s < end.length && place[s]! <= i; s++) {
      const g = group[s]!;
      now[g] = s;
      const scale = censored[s]! / (atRisk[s]! * atRisk[s]!);
      for (let j = 0; j < p; j++) taken[g * p + j]! += q[s * p + j]! * scale;
    }
    const g = codeAt ? codeAt[i]! : 0;
    const w = weight ? weight[i]! : 1;
    const step = now[g]!;
    const here = step >= 0 && i < end[step]!;
    const isCensored = here && i >= from[step]!;
    // an event at the very time of a censoring may not have been at risk of it
    const spared = here && !isCensored && !censoring.eventsAtRisk;
    for (let j = 0; j < p; j++) {
      let value = -taken[g * p + j]!;
      if (spared) {
        value += q[step * p + j]! * censored[step]! / (atRisk[step]! * atRisk[step]!);
      }
      if (isCensored) value += q[step * p + j]! / atRisk[step]!;
      out[i * p + j]! += w * value;
    }
  }
}
