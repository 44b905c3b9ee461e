import { blockEnd, type CoxDesign } from "../rows/mod.ts";

/** Running sums over a set of rows; q is x' V x. */
interface Sums {
  risk: number;
  q: number;
  x: Float64Array;
  xq: Float64Array;
  /** Lower triangle. */
  xx: Float64Array;
}

/**
 * trace(V dI/db_r) for each coefficient r, I the information at `beta` and V a symmetric matrix
 * (I^-1 in use): the sum over the terms of the likelihood of their weight times
 *
 *   E[(x - m)_r (x - m)' V (x - m)] = E[x_r q] - m_r E[q] - 2 (E[x x'] V m)_r + 2 m_r m' V m,
 *
 * expectations over the risk set with the risks as weights. Reached with first and second moments
 * and those of q alone, so O(n p^2), not O(n p^3).
 */
export function informationGradient(
  design: CoxDesign,
  beta: Float64Array,
  efron: boolean,
  matrix: Float64Array,
): Float64Array {
  const { n, p, x, weight, groupStart, groupDeaths, stratumGroup, stratumStart } = design;
  const { firstGroup, byFirstGroup } = design;
  const gradient = new Float64Array(p);
  const risk = new Float64Array(n);
  const all = emptySums(p);
  const dead = emptySums(p);
  const product = new Float64Array(p);
  const mean = new Float64Array(p);

  function change(sums: Sums, place: number, sign: number): void {
    const base = place * p;
    let q = 0;
    for (let a = 0; a < p; a++) {
      let row = matrix[a * p + a]! * x[base + a]!;
      for (let b = 0; b < a; b++) row += 2 * matrix[a * p + b]! * x[base + b]!;
      q += row * x[base + a]!;
    }
    const r = sign * risk[place]!;
    sums.risk += r;
    sums.q += r * q;
    for (let a = 0; a < p; a++) {
      const scaled = r * x[base + a]!;
      sums.x[a]! += scaled;
      sums.xq[a]! += scaled * q;
      for (let b = 0; b <= a; b++) sums.xx[a * p + b]! += scaled * x[base + b]!;
    }
  }

  function addTerm(share: number, fraction: number): void {
    const total = all.risk - fraction * dead.risk;
    const eq = (all.q - fraction * dead.q) / total;
    for (let a = 0; a < p; a++) mean[a] = (all.x[a]! - fraction * dead.x[a]!) / total;
    let length = 0;
    for (let a = 0; a < p; a++) {
      let row = 0;
      for (let b = 0; b < p; b++) row += matrix[a * p + b]! * mean[b]!;
      product[a] = row;
      length += row * mean[a]!;
    }
    for (let a = 0; a < p; a++) {
      let second = 0;
      for (let b = 0; b < p; b++) {
        const at = a >= b ? a * p + b : b * p + a;
        second += (all.xx[at]! - fraction * dead.xx[at]!) * product[b]!;
      }
      const third = (all.xq[a]! - fraction * dead.xq[a]!) / total;
      gradient[a]! += share *
        (third - mean[a]! * eq - 2 * second / total + 2 * mean[a]! * length);
    }
  }

  let nextLeaver = byFirstGroup ? byFirstGroup.length - 1 : -1;
  for (let s = design.strata - 1; s >= 0; s--) {
    const start = stratumGroup[s]!;
    const end = stratumGroup[s + 1]!;
    if (start === end) continue;
    risksWithin(design, beta, groupStart[start]!, stratumStart[s + 1]!, risk);
    clear(all);
    let peak = 0;
    while (nextLeaver >= 0 && firstGroup![byFirstGroup![nextLeaver]!]! >= end) nextLeaver--;
    for (let k = end - 1; k >= start; k--) {
      const from = groupStart[k]!;
      const to = blockEnd(design, s, k);
      const deaths = groupDeaths[k]!;
      for (let i = from; i < to; i++) if (!firstGroup || firstGroup[i]! <= k) change(all, i, 1);
      peak = Math.max(peak, all.risk);
      while (nextLeaver >= 0 && firstGroup![byFirstGroup![nextLeaver]!]! > k) {
        change(all, byFirstGroup![nextLeaver--]!, -1);
      }
      if (all.risk < 1e-3 * peak) {
        // Subtraction has eaten three digits: form the sums anew.
        clear(all);
        for (let i = from; i < stratumStart[s + 1]!; i++) {
          if (firstGroup![i]! <= k) change(all, i, 1);
        }
        peak = all.risk;
      }
      let deathWeight = 0;
      for (let i = from; i < from + deaths; i++) deathWeight += weight ? weight[i]! : 1;
      clear(dead);
      if (!efron || deaths === 1) {
        addTerm(deathWeight, 0);
        continue;
      }
      for (let i = from; i < from + deaths; i++) change(dead, i, 1);
      for (let m = 0; m < deaths; m++) addTerm(deathWeight / deaths, m / deaths);
    }
  }
  return gradient;
}

function emptySums(p: number): Sums {
  return {
    risk: 0,
    q: 0,
    x: new Float64Array(p),
    xq: new Float64Array(p),
    xx: new Float64Array(p * p),
  };
}

function clear(sums: Sums): void {
  sums.risk = sums.q = 0;
  sums.x.fill(0);
  sums.xq.fill(0);
  sums.xx.fill(0);
}

/** weight * exp(linear predictor), relative to the largest from..to. */
function risksWithin(
  design: CoxDesign,
  beta: Float64Array,
  from: number,
  to: number,
  risk: Float64Array,
): void {
  const { p, x, weight } = design;
  let largest = -Infinity;
  for (let i = from; i < to; i++) {
    let eta = 0;
    for (let j = 0; j < p; j++) eta += beta[j]! * x[i * p + j]!;
    risk[i] = eta;
    largest = Math.max(largest, eta);
  }
  for (let i = from; i < to; i++) {
    risk[i] = (weight ? weight[i]! : 1) * Math.exp(risk[i]! - largest);
  }
}
