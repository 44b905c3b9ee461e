import { addProducts, BLOCK, mirrorLower } from "../../numerics/mod.ts";

/**
 * One pass of logistic regression over the rows, in blocks that stay in the processor's cache.
 *
 * Columns are centred and scaled on the way: z = (x - centre) * scale. The constant is column 0.
 */
export interface LogisticRows {
  n: number;
  /** Columns in the model, without the constant. */
  columns: Float64Array[];
  centre: Float64Array;
  scale: Float64Array;
  outcome: Uint8Array;
  weight: Float64Array | undefined;
}

/** Where a pass leaves what it found; q = columns + 1. */
export interface LogisticSums {
  logLikelihood: number;
  /** Largest absolute linear predictor. */
  extreme: number;
  gradient: Float64Array;
  /** q x q row-major, symmetric. */
  information: Float64Array;
}

export function logisticSums(q: number): LogisticSums {
  return {
    logLikelihood: 0,
    extreme: 0,
    gradient: new Float64Array(q),
    information: new Float64Array(q * q),
  };
}

/**
 * Log-likelihood, gradient and information at `beta` (for the scaled columns), into `sums`; the
 * linear predictor of every row into `predictor`. Cost O(n q^2 / 2).
 *
 * With `fitOnly`, log-likelihood and predictor alone: O(n q); with `gradientOnly` the gradient too,
 * the information of the pass before left as it is.
 */
export function logisticPass(
  rows: LogisticRows,
  beta: Float64Array,
  sums: LogisticSums,
  predictor: Float64Array,
  { fitOnly = false, gradientOnly = false } = {},
): void {
  const { n, columns, outcome, weight } = rows;
  const q = columns.length + 1;
  const { gradient, information } = sums;
  gradient.fill(0);
  if (!gradientOnly) information.fill(0);
  const z = new Float64Array(q * BLOCK);
  z.fill(1, 0, BLOCK);
  const residual = new Float64Array(BLOCK);
  const curvature = new Float64Array(BLOCK);
  let size = 0;
  const curved = (j: number, into: Float64Array) => {
    const base = j * BLOCK;
    for (let i = 0; i < size; i++) into[i] = curvature[i]! * z[base + i]!;
  };
  let logLikelihood = 0;
  let extreme = 0;
  for (let start = 0; start < n; start += BLOCK) {
    size = Math.min(BLOCK, n - start);
    standardize(rows, start, size, z);
    predict(z, beta, q, size, start, predictor);
    // Unweighted: the logs of 1 + exp(-|eta|), each in (1, 2], are taken of their product, at most
    // 2^BLOCK, once a block.
    let product = 1;
    let fit = 0;
    for (let i = 0; i < size; i++) {
      const eta = predictor[start + i]!;
      const y = outcome[start + i]!;
      const distance = Math.abs(eta);
      if (distance > extreme) extreme = distance;
      const e = Math.exp(-distance);
      const inverse = 1 / (1 + e);
      const mean = eta >= 0 ? inverse : e * inverse;
      const against = (y === 1) === (eta >= 0) ? 0 : distance;
      if (weight) {
        const w = weight[start + i]!;
        fit -= w * (against + Math.log1p(e));
        // 1 - mean as a quotient, not a difference, keeps its digits near 1
        residual[i] = w * (y === 1 ? (eta >= 0 ? e * inverse : inverse) : -mean);
        curvature[i] = w * e * inverse * inverse;
      } else {
        product *= 1 + e;
        fit -= against;
        residual[i] = y === 1 ? (eta >= 0 ? e * inverse : inverse) : -mean;
        curvature[i] = e * inverse * inverse;
      }
    }
    logLikelihood += fit - Math.log(product);
    if (fitOnly) continue;
    for (let j = 0; j < q; j++) {
      const base = j * BLOCK;
      let slope = 0;
      for (let i = 0; i < size; i++) slope += residual[i]! * z[base + i]!;
      gradient[j]! += slope;
    }
    if (!gradientOnly) addProducts(curved, z, q, size, information);
  }
  if (!gradientOnly) mirrorLower(information, q);
  sums.logLikelihood = logLikelihood;
  sums.extreme = extreme;
}

function standardize(rows: LogisticRows, start: number, size: number, z: Float64Array): void {
  for (let j = 0; j < rows.columns.length; j++) {
    const column = rows.columns[j]!;
    const centre = rows.centre[j]!;
    const scale = rows.scale[j]!;
    const base = (j + 1) * BLOCK;
    for (let i = 0; i < size; i++) z[base + i] = (column[start + i]! - centre) * scale;
  }
}

function predict(
  z: Float64Array,
  beta: Float64Array,
  q: number,
  size: number,
  start: number,
  predictor: Float64Array,
): void {
  const constant = beta[0]!;
  for (let i = 0; i < size; i++) predictor[start + i] = constant;
  for (let j = 1; j < q; j++) {
    const b = beta[j]!;
    const base = j * BLOCK;
    for (let i = 0; i < size; i++) predictor[start + i]! += b * z[base + i]!;
  }
}

/**
 * Whether moving along `step` takes every row towards its own outcome or leaves it where it is:
 * then the likelihood rises for ever along it, and no maximum exists (Albert and Anderson 1984,
 * Biometrika 71:1).
 */
export function isRecession(rows: LogisticRows, step: Float64Array, tolerance: number): boolean {
  const { n, columns, centre, scale, outcome } = rows;
  const moves = new Float64Array(n).fill(step[0]!);
  for (let j = 0; j < columns.length; j++) {
    const column = columns[j]!;
    const b = step[j + 1]! * scale[j]!;
    const from = centre[j]!;
    for (let i = 0; i < n; i++) moves[i]! += (column[i]! - from) * b;
  }
  let worst = Infinity;
  let best = -Infinity;
  for (let i = 0; i < n; i++) {
    const towards = outcome[i] === 1 ? moves[i]! : -moves[i]!;
    if (towards < worst) worst = towards;
    if (towards > best) best = towards;
  }
  return best > 0 && worst > -tolerance * best;
}

/**
 * Sum over clusters of score * score', q x q, on the scaled columns. Cluster codes are
 * 0..clusters-1;
 * without them every row is its own cluster.
 */
export function scoreProducts(
  rows: LogisticRows,
  predictor: Float64Array,
  codes: Int32Array | undefined,
  clusters: number,
): Float64Array {
  const { n, columns, centre, scale, outcome, weight } = rows;
  const q = columns.length + 1;
  const products = new Float64Array(q * q);
  const totals = codes ? new Float64Array(clusters * q) : new Float64Array(q);
  for (let i = 0; i < n; i++) {
    const eta = predictor[i]!;
    const residual = (weight ? weight[i]! : 1) *
      (outcome[i] === 1 ? 1 / (1 + Math.exp(eta)) : -1 / (1 + Math.exp(-eta)));
    const base = codes ? codes[i]! * q : 0;
    if (!codes) totals.fill(0);
    totals[base]! += residual;
    for (let j = 1; j < q; j++) {
      totals[base + j]! += residual * (columns[j - 1]![i]! - centre[j - 1]!) * scale[j - 1]!;
    }
    if (!codes) addOuter(totals, 0, q, products);
  }
  if (codes) { for (let g = 0; g < clusters; g++) addOuter(totals, g * q, q, products); }
  mirrorLower(products, q);
  return products;
}

function addOuter(v: Float64Array, base: number, q: number, products: Float64Array): void {
  for (let j = 0; j < q; j++) {
    const a = v[base + j]!;
    for (let k = 0; k <= j; k++) products[j * q + k]! += a * v[base + k]!;
  }
}

/** 1 / (1 + exp(-x)) without overflow. */
export function logistic(x: number): number {
  if (x >= 0) return 1 / (1 + Math.exp(-x));
  const e = Math.exp(x);
  return e / (1 + e);
}
