import { checkConfidence, checkProfile, numberColumn, type Numbers } from "../../numerics/mod.ts";
import type { BaselineHazard } from "../../survival/cox/mod.ts";
import { limitQuantile } from "../incidence/mod.ts";
import type { PredictedIncidence } from "./fit.ts";
import { addCensoring } from "./influence.ts";
import { walkWeightedRiskSets, weightedRiskSets } from "./likelihood.ts";
import type { SubdistributionState } from "./state.ts";

/** See `SubdistributionFit.baselineHazard`. */
export function baselineHazardOf(state: SubdistributionState): BaselineHazard {
  const { design, sets, means } = state;
  const scale = Math.exp(predictorOf(state, means) - sets.shift);
  let sum = 0;
  return {
    time: design.groupTime.slice(),
    cumulativeHazard: sets.hazard.map((increment) => sum += increment * scale),
  };
}

/** See `SubdistributionFit.incidenceFor`. Cost O(n p) a time. */
export function incidenceOf(
  state: SubdistributionState,
  covariates: Record<string, number>,
  times: Numbers,
  options: { confidence?: number } = {},
): PredictedIncidence {
  const { names, design, sets } = state;
  const profile = checkProfile(names, covariates);
  const time = Float64Array.from(numberColumn("times", times, { min: 0 }));
  const z = limitQuantile(checkConfidence(options.confidence ?? state.confidence));
  const relative = Math.exp(predictorOf(state, profile) - sets.shift);
  const terms = termErrors(state);
  const out: PredictedIncidence = {
    time,
    incidence: new Float64Array(time.length),
    standardError: new Float64Array(time.length),
    lower: new Float64Array(time.length),
    upper: new Float64Array(time.length),
  };
  time.forEach((t, place) => {
    let groups = 0;
    let hazard = 0;
    while (groups < design.groups && design.groupTime[groups]! <= t) {
      hazard += sets.hazard[groups]!;
      groups++;
    }
    if (t > state.last) {
      out.incidence[place] = out.standardError[place] = NaN;
      out.lower[place] = out.upper[place] = NaN;
      return;
    }
    if (hazard === 0) return; // 0, with limits [0, 0]
    const error = logHazardError(state, terms, profile, groups, hazard);
    const cumulative = hazard * relative;
    out.incidence[place] = -Math.expm1(-cumulative);
    out.standardError[place] = Math.exp(-cumulative) * cumulative * error;
    out.lower[place] = -Math.expm1(-cumulative * Math.exp(-z * error));
    out.upper[place] = -Math.expm1(-cumulative * Math.exp(z * error));
  });
  return out;
}

/** For each group, sums over its terms: what an event adds, and what being at risk takes. */
interface TermErrors {
  /** Mean of 1 / denominator. */
  event: Float64Array;
  /** Sum of share / denominator^2. */
  risk: Float64Array;
  /** The part of it that the group's own events are spared (Efron). */
  spared: Float64Array;
}

function termErrors(state: SubdistributionState): TermErrors {
  const { design, efron, beta } = state;
  const errors = {
    event: new Float64Array(design.groups),
    risk: new Float64Array(design.groups),
    spared: new Float64Array(design.groups),
  };
  const scratch = weightedRiskSets(design);
  walkWeightedRiskSets(design, beta, efron, scratch, (k, fraction, share, denominator) => {
    const terms = efron ? design.groupEvents[k]! : 1;
    errors.event[k]! += 1 / denominator / terms;
    errors.risk[k]! += share / (denominator * denominator);
    errors.spared[k]! += fraction * share / (denominator * denominator);
  });
  return errors;
}

/**
 * Jackknife standard error of log H(t | x) = log H0(t) + x'b.
 *
 * A row moves H0(t) = sum of share / denominator directly, through b, and through G.
 */
function logHazardError(
  state: SubdistributionState,
  errors: TermErrors,
  profile: Float64Array,
  groups: number,
  total: number,
): number {
  const { design, sets, scores, covariance, cluster } = state;
  const { n, p, weight, groupStart, groupEvents, competing, inverse, competingGroup } = design;
  const { count, at, place, group } = design.censoring;
  const { risk } = sets;
  const out = new Float64Array(n);
  // directly
  let cumulative = 0;
  for (let i = 0, k = 0; i < n; i++) {
    if (k < groups && groupStart[k] === i) cumulative += errors.risk[k++]!;
    let exposed = cumulative;
    if (k > 0 && i < groupStart[k - 1]! + groupEvents[k - 1]!) {
      out[i] = (weight ? weight[i]! : 1) * errors.event[k - 1]!;
      exposed -= errors.spared[k - 1]!;
    }
    out[i]! -= risk[i]! * exposed;
  }
  const later = new Float64Array(count);
  for (let c = competing.length - 1, k = groups - 1; c >= 0; c--) {
    const i = competing[c]!;
    for (; k >= 0 && groupStart[k]! > i; k--) {
      for (let g = 0; g < count; g++) later[g]! += at[k * count + g]! * errors.risk[k]!;
    }
    out[i]! -= risk[i]! * inverse[c]! * later[competingGroup[c]!]!;
  }
  // through G
  if (state.estimatedWeights) {
    const q = new Float64Array(place.length);
    const kept = new Float64Array(count);
    for (let s = 0, c = 0; s < place.length; s++) {
      for (; c < competing.length && competing[c]! < place[s]!; c++) {
        kept[competingGroup[c]!]! += risk[competing[c]!]! * inverse[c]!;
      }
      q[s] = kept[group[s]!]!;
    }
    later.fill(0);
    for (let s = place.length - 1, k = groups - 1; s >= 0; s--) {
      for (; k >= 0 && groupStart[k]! >= place[s]!; k--) {
        for (let g = 0; g < count; g++) later[g]! += at[k * count + g]! * errors.risk[k]!;
      }
      q[s]! *= later[group[s]!]!;
    }
    addCensoring(design, out, 1, q);
  }
  // through b: the gradient of log H in b, times the row's influence on b
  const gradient = new Float64Array(p);
  for (let j = 0; j < p; j++) {
    let mean = 0;
    for (let k = 0; k < groups; k++) mean += sets.hazardMean[k * p + j]!;
    gradient[j] = (profile[state.kept[j]!]! - design.centre[j]!) / design.scale[j]! - mean / total;
  }
  const pull = new Float64Array(p);
  for (let a = 0; a < p; a++) {
    for (let b = 0; b < p; b++) pull[a]! += covariance[a * p + b]! * gradient[b]!;
  }
  const sums = cluster ? new Float64Array(cluster.count) : out;
  for (let i = 0; i < n; i++) {
    let value = out[i]! / total;
    for (let j = 0; j < p; j++) value += scores[i * p + j]! * pull[j]!;
    if (cluster) sums[cluster.codeAt[i]!]! += value;
    else sums[i] = value;
  }
  let squares = 0;
  for (let i = 0; i < sums.length; i++) squares += sums[i]! * sums[i]!;
  return Math.sqrt(squares);
}

/** x'b on the scale of the layout. */
function predictorOf(
  { design, kept, beta }: SubdistributionState,
  profile: Float64Array,
): number {
  let eta = 0;
  for (let j = 0; j < beta.length; j++) {
    eta += beta[j]! * (profile[kept[j]!]! - design.centre[j]!) / design.scale[j]!;
  }
  return eta;
}
