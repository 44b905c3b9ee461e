import type { NormalQuadrature } from "./gauss-hermite.ts";

/** Rows of one unit, first to just before end, of columns sorted by unit. */
export interface UnitRows {
  first: number;
  end: number;
}

/** Columns sorted by unit, covariates scaled; the linear predictor without the unit's part. */
export interface MixedRows {
  n: number;
  columns: Float64Array[];
  outcome: Uint8Array;
  offset: Float64Array;
  /** How many rows as given each of these stands for. */
  count: Float64Array;
  units: UnitRows[];
}

/** Log-likelihood with gradient and Hessian in (constant, covariates, spread). */
export interface MixedSums {
  logLikelihood: number;
  gradient: Float64Array;
  hessian: Float64Array;
}

/** What is known of a unit's deviate u (standard normal beforehand). */
export interface UnitPosterior {
  mean: number;
  sd: number;
}

/**
 * One unit: adds its log-likelihood, gradient and Hessian, and tells its posterior.
 *
 * The outcome's odds are exp(base + spread * u), u standard normal. The integral over u is taken by
 * quadrature centred at the posterior's mode and scaled to its curvature there (Liu and Pierce
 * 1994, Biometrika 81:624). Gradient by Fisher's identity, Hessian by that of Louis (1982,
 * JRSS B 44:226).
 */
export function addUnit(
  rows: MixedRows,
  { first, end }: UnitRows,
  at: { base: Float64Array; spread: number; start: number },
  { node, weight }: NormalQuadrature,
  sums: MixedSums,
): UnitPosterior {
  const { columns, outcome, count } = rows;
  const { base, spread } = at;
  const { mode, scale } = findMode(rows, { first, end }, at);
  const p = columns.length + 2;
  const k = node.length;
  const size = end - first;
  const logMass = new Float64Array(k);
  const scores = new Float64Array(k * p);
  // chance * (1 - chance) of each row at each node
  const variance = new Float64Array(k * size);
  for (let q = 0; q < k; q++) {
    const u = mode + scale * node[q]!;
    let fit = 0;
    const score = scores.subarray(q * p, q * p + p);
    for (let i = first; i < end; i++) {
      const eta = base[i]! + spread * u;
      const e = Math.exp(-Math.abs(eta));
      const chance = eta >= 0 ? 1 / (1 + e) : e / (1 + e);
      const y = outcome[i]!;
      const times = count[i]!;
      fit += times * ((y === 1 ? Math.min(0, eta) : Math.min(0, -eta)) - Math.log1p(e));
      const residual = times * (y - chance);
      variance[q * size + i - first] = times * (chance * (1 - chance));
      score[0]! += residual;
      for (let a = 1; a < p - 1; a++) score[a]! += columns[a - 1]![i]! * residual;
    }
    score[p - 1] = u * score[0]!;
    // density of u over that of the node it stands for
    logMass[q] = fit + Math.log(weight[q]! * scale) - (u * u - node[q]! ** 2) / 2;
  }
  const top = logMass.reduce((most, one) => Math.max(most, one), -Infinity);
  let total = 0;
  for (let q = 0; q < k; q++) total += logMass[q] = Math.exp(logMass[q]! - top);
  const mass = logMass.map((one) => one / total);
  const mean = new Float64Array(p);
  let first1 = 0;
  let second = 0;
  for (let q = 0; q < k; q++) {
    const u = mode + scale * node[q]!;
    first1 += mass[q]! * u;
    second += mass[q]! * u * u;
    for (let a = 0; a < p; a++) mean[a]! += mass[q]! * scores[q * p + a]!;
  }
  const { gradient, hessian } = sums;
  for (let a = 0; a < p; a++) gradient[a]! += mean[a]!;
  // the mean curvature of each row: by 1, u and u squared, of which only the spread has more than 1
  for (let i = 0; i < size; i++) {
    let [c0, c1, c2] = [0, 0, 0];
    for (let q = 0; q < k; q++) {
      const c = mass[q]! * variance[q * size + i]!;
      const u = mode + scale * node[q]!;
      c0 += c;
      c1 += c * u;
      c2 += c * u * u;
    }
    const row = first + i;
    for (let a = 0; a < p - 1; a++) {
      const za = a === 0 ? 1 : columns[a - 1]![row]!;
      hessian[(p - 1) * p + a]! -= c1 * za;
      for (let b = 0; b <= a; b++) {
        hessian[a * p + b]! -= c0 * za * (b === 0 ? 1 : columns[b - 1]![row]!);
      }
    }
    hessian[p * p - 1]! -= c2;
  }
  for (let q = 0; q < k; q++) {
    for (let a = 0; a < p; a++) {
      const da = mass[q]! * (scores[q * p + a]! - mean[a]!);
      for (let b = 0; b <= a; b++) hessian[a * p + b]! += da * (scores[q * p + b]! - mean[b]!);
    }
  }
  sums.logLikelihood += top + Math.log(total);
  return { mean: first1, sd: Math.sqrt(Math.max(0, second - first1 * first1)) };
}

/** Mode of u's posterior and the scale of the normal that touches it there; it is log-concave. */
function findMode(
  { outcome, count }: MixedRows,
  { first, end }: UnitRows,
  { base, spread, start }: { base: Float64Array; spread: number; start: number },
): { mode: number; scale: number } {
  let u = start;
  let curvature = 1;
  for (let iteration = 0; iteration < 60; iteration++) {
    let slope = -u;
    curvature = 1;
    for (let i = first; i < end; i++) {
      const chance = 1 / (1 + Math.exp(-(base[i]! + spread * u)));
      slope += count[i]! * (spread * (outcome[i]! - chance));
      curvature += count[i]! * (spread * spread * chance * (1 - chance));
    }
    const move = Math.max(-1, Math.min(1, slope / curvature));
    u += move;
    if (Math.abs(move) < 1e-8) break;
  }
  return { mode: u, scale: 1 / Math.sqrt(curvature) };
}
