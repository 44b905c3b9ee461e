import {
  checkNumber,
  checkProfile,
  DataError,
  distributions,
  numberColumn,
  type Numbers,
  orderOf,
  quadraticForm,
} from "../../../numerics/mod.ts";
import { type CoxState, tableOf } from "./state.ts";

/** Cumulative hazard at the covariate means, one row per distinct observed time of a stratum. */
export interface BaselineHazard {
  /** Times, in the unit given. */
  time: Float64Array;
  /** Cumulative hazard at each time. */
  cumulativeHazard: Float64Array;
  /** Label of each row's stratum, where the fit has strata. */
  stratum?: (string | number)[];
}

/** Predicted survival at the times asked for. */
export interface PredictedSurvival {
  /** Times, in the unit given. */
  time: Float64Array;
  /** Probability of being alive at each time, 0 to 1. */
  survival: Float64Array;
  /** Standard errors of the estimates. */
  standardError: Float64Array;
  /** Lower limits. */
  lower: Float64Array;
  /** Upper limits. */
  upper: Float64Array;
}

/** See `CoxFit.baselineHazard`. */
export function baselineHazardOf(state: CoxState): BaselineHazard {
  const { design, follow, means, stratum } = state;
  const { hazard, shift } = tableOf(state).sets;
  const time: number[] = [];
  const cumulativeHazard: number[] = [];
  const labels: (string | number)[] = [];
  for (let s = 0; s < design.strata; s++) {
    const eta = predictorOf(state, means, s);
    let cumulative = 0;
    let k = design.stratumGroup[s]!;
    for (let i = design.stratumStart[s]!; i < design.stratumStart[s + 1]!; i++) {
      const t = follow.time[design.rowAt[i]!]!;
      const isLast = i + 1 === design.stratumStart[s + 1]! ||
        follow.time[design.rowAt[i + 1]!]! !== t;
      if (!isLast) continue;
      for (; k < design.stratumGroup[s + 1]! && design.groupTime[k]! <= t; k++) {
        cumulative += hazard[k]! * Math.exp(eta - shift[k]!);
      }
      time.push(t);
      cumulativeHazard.push(cumulative);
      if (stratum) labels.push(stratum.labels[s]!);
    }
  }
  return {
    time: Float64Array.from(time),
    cumulativeHazard: Float64Array.from(cumulativeHazard),
    ...(stratum ? { stratum: labels } : {}),
  };
}

/** See `CoxFit.survivalFor`. */
export function survivalOf(
  state: CoxState,
  covariates: Record<string, number>,
  times: Numbers,
  options: { stratum?: string | number; confidence?: number } = {},
): PredictedSurvival {
  const { design, names, follow } = state;
  const { p } = design;
  const profile = checkProfile(names, covariates);
  const at = numberColumn("times", times, { min: 0 });
  const s = stratumIndex(state, options.stratum);
  const confidence = checkNumber(
    "confidence",
    options.confidence ?? state.confidence,
    (c) => c > 0 && c < 1,
    "between 0 and 1",
  );
  const z = distributions.normalQuantile((1 + confidence) / 2);
  const { sets, hazardMean, variance } = tableOf(state);
  const eta = predictorOf(state, profile, s);
  const scaled = scaledProfile(state, profile, s);
  const covariance = state.robust ?? state.covariance;
  const lastPlace = design.stratumStart[s + 1]! - 1;
  const last = follow.time[design.rowAt[lastPlace]!]!;
  const m = at.length;
  const out: PredictedSurvival = {
    time: at.slice(),
    survival: new Float64Array(m),
    standardError: new Float64Array(m),
    lower: new Float64Array(m),
    upper: new Float64Array(m),
  };
  // d(cumulative hazard)/d(beta) is the sum of hazard * (x - mean of the risk set).
  const gradient = new Float64Array(p);
  let cumulative = 0;
  let increments = 0;
  let k = design.stratumGroup[s]!;
  for (const index of orderOf(at)) {
    const t = at[index]!;
    if (t > last) {
      out.survival[index] = out.standardError[index] = NaN;
      out.lower[index] = out.upper[index] = NaN;
      continue;
    }
    for (; k < design.stratumGroup[s + 1]! && design.groupTime[k]! <= t; k++) {
      const unit = Math.exp(eta - sets.shift[k]!);
      cumulative += sets.hazard[k]! * unit;
      increments += variance[k]! * unit * unit;
      for (let j = 0; j < p; j++) {
        gradient[j]! += unit * (sets.hazard[k]! * scaled[j]! - hazardMean[k * p + j]!);
      }
    }
    const error = Math.sqrt(increments + quadraticForm(gradient, covariance));
    const survival = Math.exp(-cumulative);
    out.survival[index] = survival;
    out.standardError[index] = survival * error;
    out.lower[index] = Math.exp(-cumulative - z * error);
    out.upper[index] = Math.min(1, Math.exp(-cumulative + z * error));
  }
  return out;
}

function stratumIndex(state: CoxState, label: string | number | undefined): number {
  const { stratum } = state;
  if (!stratum) {
    if (label !== undefined) throw new DataError("stratum", "absent: the fit has none", label);
    return 0;
  }
  const index = label === undefined ? -1 : stratum.labels.indexOf(label);
  if (index < 0) {
    throw new DataError("stratum", `one of ${stratum.labels.slice(0, 8).join(", ")}`, label);
  }
  return index;
}

/** The profile on the scale of the layout's rows. */
function scaledProfile(state: CoxState, profile: Float64Array, s: number): Float64Array {
  const { design, kept } = state;
  return Float64Array.from(
    kept,
    (column, j) => (profile[column]! - design.centre[j]![s]!) / design.scale[j]!,
  );
}

function predictorOf(state: CoxState, profile: Float64Array, s: number): number {
  const scaled = scaledProfile(state, profile, s);
  let eta = 0;
  for (let j = 0; j < scaled.length; j++) eta += state.beta[j]! * scaled[j]!;
  return eta;
}
