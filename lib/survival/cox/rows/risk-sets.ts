import { blockEnd, type CoxDesign } from "./design.ts";

/**
 * Called once for each term of the partial likelihood: once an event time (Breslow), or d times
 * where d deaths are tied (Efron), with `fraction` 0, 1/d, ... of the deaths' own risk taken away.
 *
 * @param group The event time's group.
 * @param fraction Share of the deaths removed from the risk set.
 * @param share Weight of the term: the deaths' total weight (Breslow) or their mean (Efron).
 * @param hazard share / sum of risks, in units of exp(-shift of the group).
 * @param mean Mean covariates of the risk set, valid during the call only.
 */
export type VisitTerm = (
  group: number,
  fraction: number,
  share: number,
  hazard: number,
  mean: Float64Array,
) => void;

/** What one walk over the risk sets leaves behind. */
export interface RiskSets {
  /** weight * exp(linear predictor - shift), by place; the shift is that of the place's group. */
  risk: Float64Array;
  /** Hazard increment of each group for those who go on, in units of exp(-shift). */
  hazard: Float64Array;
  /** What a death of the group itself is spared of it (0 but for tied deaths, Efron). */
  spared: Float64Array;
  shift: Float64Array;
}

/** Scratch for {@link walkRiskSets}. */
export function riskSets(design: CoxDesign): RiskSets {
  return {
    risk: new Float64Array(design.n),
    hazard: new Float64Array(design.groups),
    spared: new Float64Array(design.groups),
    shift: new Float64Array(design.groups),
  };
}

/** A risk may exceed the shift by this much (in logs) before the sums are rescaled. */
const HEADROOM = 50;

/**
 * One pass from the last event time to the first, growing the risk set; returns the log partial
 * likelihood (not finite when a risk set's sum is not).
 *
 * Sums of risks are kept relative to a running maximum of the linear predictor, so neither a huge
 * nor a tiny hazard ratio overflows. With delayed entry rows are also taken out again, so there
 * the sums are relative to the stratum's maximum and are formed anew whenever subtraction has
 * eaten three digits. Cost O(n p).
 *
 * @param beta Coefficients of the scaled covariates.
 */
export function walkRiskSets(
  design: CoxDesign,
  beta: Float64Array,
  efron: boolean,
  sets: RiskSets,
  visit: VisitTerm,
): number {
  const { p, x, weight, groupStart, groupDeaths, stratumGroup, stratumStart, firstGroup } = design;
  const { risk, hazard, spared, shift } = sets;
  const sum = new Float64Array(p);
  const deathSum = new Float64Array(p);
  const mean = new Float64Array(p);
  const leaving = design.byFirstGroup;
  let nextLeaver = leaving ? leaving.length - 1 : -1;
  let logLikelihood = 0;
  for (let s = design.strata - 1; s >= 0; s--) {
    const start = stratumGroup[s]!;
    sum.fill(0);
    let total = 0;
    let peak = 0;
    let top = -Infinity;
    // Places of the stratum just done that were at risk from its first event time never left.
    while (nextLeaver >= 0 && firstGroup![leaving![nextLeaver]!]! >= stratumGroup[s + 1]!) {
      nextLeaver--;
    }
    if (firstGroup && start < stratumGroup[s + 1]!) {
      top = largestPredictor(design, beta, groupStart[start]!, stratumStart[s + 1]!);
    }
    for (let k = stratumGroup[s + 1]! - 1; k >= start; k--) {
      const from = groupStart[k]!;
      const to = blockEnd(design, s, k);
      const deaths = groupDeaths[k]!;
      // Linear predictors of the newcomers, kept in `risk` until the shift is settled.
      let largest = -Infinity;
      for (let i = from; i < to; i++) {
        let eta = 0;
        const base = i * p;
        for (let j = 0; j < p; j++) eta += beta[j]! * x[base + j]!;
        risk[i] = eta;
        if (eta > largest) largest = eta;
      }
      if (largest > top + HEADROOM || top === -Infinity) {
        if (total > 0) {
          const shrink = Math.exp(top - largest);
          total *= shrink;
          for (let j = 0; j < p; j++) sum[j]! *= shrink;
        }
        top = largest;
      }
      shift[k] = top;
      let deathWeight = 0;
      for (let i = from; i < from + deaths; i++) {
        const w = weight ? weight[i]! : 1;
        deathWeight += w;
        logLikelihood += w * risk[i]!;
      }
      for (let i = from; i < to; i++) {
        if (firstGroup && firstGroup[i]! > k) {
          risk[i] = 0;
          continue;
        }
        const r = (weight ? weight[i]! : 1) * Math.exp(risk[i]! - top);
        risk[i] = r;
        total += r;
        const base = i * p;
        for (let j = 0; j < p; j++) sum[j]! += r * x[base + j]!;
      }
      if (leaving) {
        if (total > peak) peak = total;
        while (nextLeaver >= 0 && firstGroup![leaving[nextLeaver]!]! > k) {
          const place = leaving[nextLeaver--]!;
          const r = risk[place]!;
          total -= r;
          for (let j = 0; j < p; j++) sum[j]! -= r * x[place * p + j]!;
        }
        if (total < 1e-3 * peak) {
          total = formAnew(design, risk, k, stratumStart[s + 1]!, sum);
          peak = total;
        }
      }

      // The terms of this event time.
      const tied = efron && deaths > 1;
      let deathTotal = 0;
      if (tied) {
        deathSum.fill(0);
        for (let i = from; i < from + deaths; i++) {
          const r = risk[i]!;
          deathTotal += r;
          for (let j = 0; j < p; j++) deathSum[j]! += r * x[i * p + j]!;
        }
      }
      const terms = tied ? deaths : 1;
      const share = deathWeight / terms;
      let increment = 0;
      let sparedPart = 0;
      for (let m = 0; m < terms; m++) {
        const fraction = m / terms;
        const denominator = total - fraction * deathTotal;
        const h = share / denominator;
        logLikelihood -= share * (Math.log(denominator) + top);
        for (let j = 0; j < p; j++) mean[j] = (sum[j]! - fraction * deathSum[j]!) / denominator;
        increment += h;
        sparedPart += fraction * h;
        visit(k, fraction, share, h, mean);
      }
      hazard[k] = increment;
      spared[k] = sparedPart;
      if (tied) deathSum.fill(0);
    }
  }
  return logLikelihood;
}

/**
 * out[i] = risk of place i times the increments it was exposed to, in one forward pass. With the
 * hazards of {@link walkRiskSets} this is weight times the expected number of events.
 *
 * @param increment Increment of each group, in units of exp(-shift).
 * @param spared What the group's own deaths are spared of it.
 */
export function exposure(
  design: CoxDesign,
  sets: RiskSets,
  increment: Float64Array,
  spared: Float64Array,
  out: Float64Array,
): void {
  const { groupStart, groupDeaths, stratumGroup, stratumStart, firstGroup } = design;
  const { risk, shift } = sets;
  const before = firstGroup ? new Float64Array(design.groups + 1) : undefined;
  for (let s = 0; s < design.strata; s++) {
    const start = stratumGroup[s]!;
    const end = stratumGroup[s + 1]!;
    const head = start < end ? groupStart[start]! : stratumStart[s + 1]!;
    out.fill(0, stratumStart[s]!, head);
    let cumulative = 0;
    for (let k = start; k < end; k++) {
      if (k > start && shift[k] !== shift[k - 1]) {
        cumulative *= Math.exp(shift[k]! - shift[k - 1]!);
      }
      const from = groupStart[k]!;
      const to = blockEnd(design, s, k);
      const alive = from + groupDeaths[k]!;
      if (before) before[k] = cumulative;
      cumulative += increment[k]!;
      const forDeaths = cumulative - spared[k]!;
      if (before) {
        for (let i = from; i < to; i++) {
          // A place never at risk has risk 0; reading past the stratum's groups is harmless then.
          const missed = risk[i] === 0 ? 0 : before[firstGroup![i]!]!;
          out[i] = risk[i]! * ((i < alive ? forDeaths : cumulative) - missed);
        }
      } else {
        for (let i = from; i < alive; i++) out[i] = risk[i]! * forDeaths;
        for (let i = alive; i < to; i++) out[i] = risk[i]! * cumulative;
      }
    }
  }
}

function largestPredictor(
  design: CoxDesign,
  beta: Float64Array,
  from: number,
  to: number,
): number {
  const { p, x } = design;
  let largest = -Infinity;
  for (let i = from; i < to; i++) {
    let eta = 0;
    for (let j = 0; j < p; j++) eta += beta[j]! * x[i * p + j]!;
    if (eta > largest) largest = eta;
  }
  return largest;
}

/** The sums over group k's risk set from scratch. */
function formAnew(
  design: CoxDesign,
  risk: Float64Array,
  k: number,
  end: number,
  sum: Float64Array,
): number {
  const { p, x, groupStart, firstGroup } = design;
  sum.fill(0);
  let total = 0;
  for (let i = groupStart[k]!; i < end; i++) {
    if (firstGroup![i]! > k) continue;
    const r = risk[i]!;
    total += r;
    for (let j = 0; j < p; j++) sum[j]! += r * x[i * p + j]!;
  }
  return total;
}
