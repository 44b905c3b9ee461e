import { logistic } from "./logistic-kernel.ts";

/**
 * One pass of cumulative-logit regression over the rows.
 *
 * A row at level k of 0..K has probability F(u) - F(v), with F logistic, u = a_k + eta and
 * v = a_(k+1) + eta, where a_0 = Infinity and a_(K+1) = -Infinity. It factors:
 * F(u) - F(v) = F(u) (1 - F(v)) (1 - exp(v - u)), whose logarithm is a sum without a difference of
 * near-equal numbers. Its second derivatives make the log-likelihood concave (Burridge 1981, JRSS B
 * 43:41-45).
 *
 * Parameters: a_1 .. a_K, descending, then one coefficient a column, on z = (x - centre) * scale.
 */
export interface OrdinalRows {
  n: number;
  /** Largest level, K: levels are 0..K. */
  top: number;
  level: Int32Array;
  columns: Float64Array[];
  centre: Float64Array;
  scale: Float64Array;
  weight: Float64Array | undefined;
}

/** What a pass finds; m = K + columns. */
export interface OrdinalSums {
  logLikelihood: number;
  /** Largest absolute value of a finite u or v. */
  extreme: number;
  gradient: Float64Array;
  /** Observed information, m x m row-major, symmetric. */
  information: Float64Array;
}

/** Log-likelihood, gradient and information at `beta`; -Infinity where a_k do not descend. */
export function ordinalPass(rows: OrdinalRows, beta: Float64Array): OrdinalSums {
  const { n, top, level, columns, weight } = rows;
  const p = columns.length;
  const m = top + p;
  const sums: OrdinalSums = {
    logLikelihood: 0,
    extreme: 0,
    gradient: new Float64Array(m),
    information: new Float64Array(m * m),
  };
  const { gradient, information } = sums;
  for (let k = 1; k < top; k++) {
    if (!(beta[k]! < beta[k - 1]!)) return { ...sums, logLikelihood: -Infinity };
  }
  const z = new Float64Array(p);
  let logLikelihood = 0;
  for (let i = 0; i < n; i++) {
    const w = weight ? weight[i]! : 1;
    const k = level[i]!;
    const eta = scaledRow(rows, i, beta, z);
    let atU = 0; // derivatives of log p with respect to u and v
    let atV = 0;
    let curveU = 0; // F(u) (1 - F(u)), and at v
    let curveV = 0;
    if (k > 0) {
      const u = beta[k - 1]! + eta;
      sums.extreme = Math.max(sums.extreme, Math.abs(u));
      logLikelihood -= w * log1pExp(-u);
      atU = logistic(-u);
      curveU = atU * logistic(u);
    }
    if (k < top) {
      const v = beta[k]! + eta;
      sums.extreme = Math.max(sums.extreme, Math.abs(v));
      logLikelihood -= w * log1pExp(v);
      atV = -logistic(v);
      curveV = -atV * logistic(-v);
    }
    const slope = w * (atU + atV);
    for (let a = 0; a < p; a++) {
      gradient[top + a]! += slope * z[a]!;
      const scaled = w * (curveU + curveV) * z[a]!;
      for (let b = 0; b <= a; b++) information[(top + a) * m + top + b]! += scaled * z[b]!;
      if (k > 0) information[(top + a) * m + k - 1]! += w * curveU * z[a]!;
      if (k < top) information[(top + a) * m + k]! += w * curveV * z[a]!;
    }
    if (k > 0) {
      gradient[k - 1]! += w * atU;
      information[(k - 1) * m + k - 1]! += w * curveU;
    }
    if (k < top) {
      gradient[k]! += w * atV;
      information[k * m + k]! += w * curveV;
    }
    if (k > 0 && k < top) {
      // the factor 1 - exp(-d), d = u - v > 0, which eta does not move
      const { value, slope: q, curve: r } = gapTerms(beta[k - 1]! - beta[k]!);
      logLikelihood += w * value;
      gradient[k - 1]! += w * q;
      gradient[k]! -= w * q;
      information[(k - 1) * m + k - 1]! += w * r;
      information[k * m + k]! += w * r;
      information[k * m + k - 1]! -= w * r;
    }
  }
  for (let a = 0; a < m; a++) {
    for (let b = 0; b < a; b++) information[b * m + a] = information[a * m + b]!;
  }
  sums.logLikelihood = logLikelihood;
  return sums;
}

/** Sum over clusters of score * score', m x m; every row its own cluster without `codes`. */
export function ordinalScoreProducts(
  rows: OrdinalRows,
  beta: Float64Array,
  cluster: { codes: Int32Array; count: number } | undefined,
): Float64Array {
  const { n, top, level, columns, weight } = rows;
  const p = columns.length;
  const m = top + p;
  const totals = new Float64Array((cluster ? cluster.count : 1) * m);
  const products = new Float64Array(m * m);
  const z = new Float64Array(p);
  for (let i = 0; i < n; i++) {
    const w = weight ? weight[i]! : 1;
    const k = level[i]!;
    const eta = scaledRow(rows, i, beta, z);
    const q = k > 0 && k < top ? gapTerms(beta[k - 1]! - beta[k]!).slope : 0;
    const atU = k > 0 ? logistic(-beta[k - 1]! - eta) : 0;
    const atV = k < top ? -logistic(beta[k]! + eta) : 0;
    const base = cluster ? cluster.codes[i]! * m : 0;
    if (!cluster) totals.fill(0);
    if (k > 0) totals[base + k - 1]! += w * (atU + q);
    if (k < top) totals[base + k]! += w * (atV - q);
    for (let a = 0; a < p; a++) totals[base + top + a]! += w * (atU + atV) * z[a]!;
    if (!cluster) addOuter(totals, 0, m, products);
  }
  if (cluster) { for (let g = 0; g < cluster.count; g++) addOuter(totals, g * m, m, products); }
  return products;
}

/**
 * Whether moving along `step` raises every row's u and lowers its v, or leaves them: then the
 * likelihood rises for ever along it and has no maximum.
 */
export function movesAllHome(rows: OrdinalRows, step: Float64Array, tolerance: number): boolean {
  const { n, top, level, columns } = rows;
  const z = new Float64Array(columns.length);
  let worst = Infinity;
  let best = -Infinity;
  for (let i = 0; i < n; i++) {
    const k = level[i]!;
    const eta = scaledRow(rows, i, step, z);
    for (const towards of [k > 0 ? step[k - 1]! + eta : 0, k < top ? -step[k]! - eta : 0]) {
      worst = Math.min(worst, towards);
      best = Math.max(best, towards);
    }
  }
  return best > 0 && worst > -tolerance * best;
}

/** Scales row i into z and returns its linear predictor without thresholds. */
function scaledRow(rows: OrdinalRows, i: number, beta: Float64Array, z: Float64Array): number {
  const { top, columns, centre, scale } = rows;
  let eta = 0;
  for (let a = 0; a < columns.length; a++) {
    z[a] = (columns[a]![i]! - centre[a]!) * scale[a]!;
    eta += beta[top + a]! * z[a]!;
  }
  return eta;
}

/** log(1 - exp(-d)) and its first derivative and minus its second. */
function gapTerms(d: number): { value: number; slope: number; curve: number } {
  const slope = 1 / Math.expm1(d);
  return { value: Math.log(-Math.expm1(-d)), slope, curve: slope * (1 + slope) };
}

function log1pExp(x: number): number {
  return x > 0 ? x + Math.log1p(Math.exp(-x)) : Math.log1p(Math.exp(x));
}

function addOuter(v: Float64Array, base: number, m: number, products: Float64Array): void {
  for (let a = 0; a < m; a++) {
    for (let b = 0; b < m; b++) products[a * m + b]! += v[base + a]! * v[base + b]!;
  }
}
