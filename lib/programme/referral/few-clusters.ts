import {
  dot,
  factorSymmetric,
  invertFactored,
  multiplySquare,
  quadraticForm,
} from "../../numerics/mod.ts";

/** Rows of a fitted logistic model, as its errors need them. */
export interface FittedRows {
  /** Columns of the model; the constant is not among them. */
  columns: readonly Float64Array[];
  outcome: Uint8Array;
  weight: Float64Array;
  /** Chances that the model gives the rows. */
  chance: Float64Array;
  /** Cluster of each row, 0, 1, ... */
  code: Int32Array;
  clusters: number;
}

/** Error of a linear predictor, and the degrees of freedom on which it rests. */
export interface ClusterError {
  standardError: number;
  degreesOfFreedom: number;
}

/**
 * Errors of linear predictors of a logistic model whose rows come in few clusters.
 *
 * Variance: squares of clusters' scores added up, each made as large as it would be had the cluster
 * not been fitted itself. Degrees of freedom: Satterthwaite's, of that sum were clusters alike but
 * for chance and for a level of their own, whose spread is found by moments. Infinite error where
 * one cluster alone bears what is asked. Cost O(n p^2 + G p^3), and O(G^2 p^2) a predictor.
 *
 * @returns A function of a row of the model, its constant first.
 * @see Bell & McCaffrey (2002) Surv Methodol 28:169-181; Imbens & Kolesár (2016) Rev Econ Stat
 * 98:701-712; Pustejovsky & Tipton (2018) J Bus Econ Stat 36:672-683.
 */
export function clusterErrors(rows: FittedRows): (at: ArrayLike<number>) => ClusterError {
  const { clusters } = rows;
  const p = rows.columns.length + 1;
  const { information, score, residual } = sumsOf(rows);
  const whole = information.reduce((sum, one) => sum.map((v, k) => v + one[k]!));
  const inverse = invertFactored(factorSymmetric(whole, p));
  const without = information.map((own) => {
    const others = whole.map((v, k) => v - own[k]!);
    return { others, inverse: invertFactored(factorSymmetric(others, p, 1e-9)) };
  });
  const adjusted = information.map((own) => adjustment(own, inverse, p));
  const level = levelVariance(information, residual);
  const spread = information.map((own) => {
    const shared = own.slice(0, p); // row of the constant
    return own.map((v, k) => v + level * shared[Math.floor(k / p)]! * shared[k % p]!);
  });
  const among = spread.reduce((sum, one) => sum.map((v, k) => v + one[k]!));
  const total = multiplySquare(multiplySquare(inverse, among, p), inverse, p);
  return (at) => {
    const moves: Float64Array[] = [];
    let variance = 0;
    for (let g = 0; g < clusters; g++) {
      const { others, inverse: left } = without[g]!;
      // unless the others give back what was asked, they do not know it
      const known = timesVector(others, timesVector(left, at, p), p);
      if (known.some((x, a) => Math.abs(x - at[a]!) > 1e-6)) {
        return { standardError: Infinity, degreesOfFreedom: 1 };
      }
      const move = timesVector(adjusted[g]!, at, p);
      moves.push(move);
      variance += dot(move, score[g]!) ** 2;
    }
    return {
      standardError: Math.sqrt(variance),
      degreesOfFreedom: satterthwaite(moves, { information, spread, inverse, total }, p),
    };
  };
}

/**
 * Of the sum of squared moves: (sum of eigenvalues)^2 / sum of their squares, of
 * the moves' covariance.
 */
function satterthwaite(
  moves: readonly Float64Array[],
  { information, spread, inverse, total }: {
    information: readonly Float64Array[];
    spread: readonly Float64Array[];
    inverse: Float64Array;
    total: Float64Array;
  },
  p: number,
): number {
  // score of g, once the model is fitted: own noise less information_g * inverse * everybody's
  const through = moves.map((move, g) => timesVector(information[g]!, move, p));
  const fitted = through.map((one) => timesVector(inverse, one, p));
  const noise = moves.map((move, g) => timesVector(spread[g]!, move, p));
  let trace = 0;
  let squares = 0;
  moves.forEach((move, g) => {
    for (let h = 0; h <= g; h++) {
      const covariance = (g === h ? dot(move, noise[g]!) : 0) - dot(fitted[h]!, noise[g]!) -
        dot(fitted[g]!, noise[h]!) + quadraticForm(through[g]!, total, through[h]!);
      if (g === h) trace += covariance;
      squares += (g === h ? 1 : 2) * covariance ** 2;
    }
  });
  return Math.max(1, trace ** 2 / squares);
}

/** Each cluster's information (p x p), score, and sum of residuals beside its expected square. */
function sumsOf({ columns, outcome, weight, chance, code, clusters }: FittedRows) {
  const p = columns.length + 1;
  const information = Array.from({ length: clusters }, () => new Float64Array(p * p));
  const score = Array.from({ length: clusters }, () => new Float64Array(p));
  const residual = Array.from({ length: clusters }, () => ({ sum: 0, variance: 0 }));
  const x = new Float64Array(p).fill(1);
  for (let i = 0; i < outcome.length; i++) {
    const g = code[i]!;
    columns.forEach((column, j) => x[j + 1] = column[i]!);
    const spread = weight[i]! * chance[i]! * (1 - chance[i]!);
    const error = weight[i]! * (outcome[i]! - chance[i]!);
    residual[g]!.sum += error;
    residual[g]!.variance += weight[i]! * spread;
    for (let a = 0; a < p; a++) {
      if (x[a] === 0) continue;
      score[g]![a]! += error * x[a]!;
      for (let b = 0; b < p; b++) information[g]![a * p + b]! += spread * x[a]! * x[b]!;
    }
  }
  return { information, score, residual };
}

/** Variance of the clusters' own levels in log odds, by moments of their residuals; at least 0. */
function levelVariance(
  information: readonly Float64Array[],
  residual: readonly { sum: number; variance: number }[],
): number {
  let [beyond, leverage] = [0, 0];
  residual.forEach(({ sum, variance }, g) => {
    beyond += sum ** 2 - variance;
    leverage += information[g]![0]! ** 2;
  });
  return Math.max(0, beyond / leverage);
}

function timesVector(matrix: Float64Array, x: ArrayLike<number>, p: number): Float64Array {
  return Float64Array.from({ length: p }, (_, a) => {
    let sum = 0;
    for (let b = 0; b < p; b++) sum += matrix[a * p + b]! * x[b]!;
    return sum;
  });
}

/**
 * inverse * (1 - information * inverse)^-1/2, transposed: what a cluster's score moves coefficients
 * by, its residuals made as large as they would be had it not been fitted itself. The power is
 * taken of a symmetric matrix alike, 1 - L' information L where inverse = L L', by the iteration of
 * Denman and Beavers (1976, Appl Math Comput 2:63).
 */
function adjustment(information: Float64Array, inverse: Float64Array, p: number): Float64Array {
  const { lower } = factorSymmetric(inverse, p);
  const upper = transposed(lower, p);
  const one = Float64Array.from({ length: p * p }, (_, k) => k % (p + 1) === 0 ? 1 : 0);
  const own = multiplySquare(multiplySquare(upper, information, p), lower, p);
  const inverted = (matrix: Float64Array) => invertFactored(factorSymmetric(matrix, p, 1e-12));
  let root = one.map((v, k) => v - own[k]!);
  let power = one;
  for (let round = 0; round < 40; round++) {
    const [ofPower, ofRoot] = [inverted(power), inverted(root)];
    const next = power.map((v, k) => (v + ofRoot[k]!) / 2);
    root = root.map((v, k) => (v + ofPower[k]!) / 2);
    const change = next.reduce((most, v, k) => Math.max(most, Math.abs(v - power[k]!)), 0);
    power = next;
    if (change < 1e-12) break;
  }
  return multiplySquare(multiplySquare(lower, power, p), upper, p);
}

function transposed(matrix: Float64Array, p: number): Float64Array {
  return Float64Array.from(matrix, (_, k) => matrix[(k % p) * p + Math.floor(k / p)]!);
}
