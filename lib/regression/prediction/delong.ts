import { covarianceOf, orderOf } from "../../numerics/mod.ts";

/** DeLong's placement values of one score. */
export interface Placements {
  area: number;
  /** For each row with outcome 1, the share of outcome 0 that it beats (ties count a half). */
  cases: Float64Array;
  /** For each row with outcome 0, the share of outcome 1 that beats it. */
  controls: Float64Array;
}

/**
 * Placement values by midranks, in O(n log n) instead of comparing every pair.
 *
 * @see DeLong, DeLong & Clarke-Pearson (1988) Biometrics 44:837-845; Sun & Xu (2014) IEEE Signal
 * Processing Letters 21:1389-1393 for the midranks.
 */
export function placementsOf(
  outcome: Uint8Array,
  score: Float64Array,
  order = orderOf(score),
): Placements {
  const n = outcome.length;
  const beaten = new Float64Array(n);
  let zeros = 0;
  let ones = 0;
  for (let first = 0; first < n;) {
    const value = score[order[first]!]!;
    let end = first;
    let tiedOnes = 0;
    while (end < n && score[order[end]!]! === value) tiedOnes += outcome[order[end++]!]!;
    const tiedZeros = end - first - tiedOnes;
    for (let i = first; i < end; i++) {
      const row = order[i]!;
      beaten[row] = outcome[row] === 1 ? zeros + tiedZeros / 2 : ones + tiedOnes / 2;
    }
    zeros += tiedZeros;
    ones += tiedOnes;
    first = end;
  }
  const cases = new Float64Array(ones);
  const controls = new Float64Array(zeros);
  let i = 0;
  let j = 0;
  let sum = 0;
  for (let row = 0; row < n; row++) {
    if (outcome[row] === 1) {
      cases[i] = beaten[row]! / zeros;
      sum += cases[i++]!;
    } else {
      controls[j++] = 1 - beaten[row]! / ones;
    }
  }
  return { area: sum / ones, cases, controls };
}

/** DeLong's covariance of two areas on the same rows (their variance if they are the same). */
export function areaCovariance(a: Placements, b: Placements): number {
  return covarianceOf(a.cases, b.cases) / a.cases.length +
    covarianceOf(a.controls, b.controls) / a.controls.length;
}
