/**
 * Small dense symmetric systems, p x p, row-major Float64Array. p is the number of covariates, so
 * nothing here is blocked or clever.
 */

/** A Cholesky factor with the pivots that were too small to use. */
export interface Factor {
  p: number;
  /** Lower triangle of L, row-major; a dropped pivot's row and column are 0. */
  lower: Float64Array;
  /** Indices whose pivot fell below the tolerance: linear combinations of earlier columns. */
  dropped: number[];
}

/**
 * Cholesky factor of a symmetric positive semi-definite matrix.
 *
 * A pivot at or below `tolerance` times its own diagonal entry is dropped: that variable is, to
 * rounding, a linear combination of the ones before it (or constant).
 */
export function factorSymmetric(matrix: Float64Array, p: number, tolerance = 1e-10): Factor {
  const lower = new Float64Array(p * p);
  const dropped: number[] = [];
  for (let j = 0; j < p; j++) {
    let pivot = matrix[j * p + j]!;
    for (let k = 0; k < j; k++) pivot -= lower[j * p + k]! ** 2;
    if (!(pivot > tolerance * matrix[j * p + j]!) || !(pivot > 0)) {
      dropped.push(j);
      lower.fill(0, j * p, j * p + p);
      continue;
    }
    const root = Math.sqrt(pivot);
    lower[j * p + j] = root;
    for (let i = j + 1; i < p; i++) {
      let sum = matrix[i * p + j]!;
      for (let k = 0; k < j; k++) sum -= lower[i * p + k]! * lower[j * p + k]!;
      lower[i * p + j] = sum / root;
    }
  }
  return { p, lower, dropped };
}

/** Solves matrix * x = right; entries of dropped pivots are 0. */
export function solveFactored(factor: Factor, right: ArrayLike<number>): Float64Array {
  const { p, lower } = factor;
  const x = new Float64Array(p);
  for (let i = 0; i < p; i++) {
    const pivot = lower[i * p + i]!;
    if (pivot === 0) continue;
    let sum = right[i]!;
    for (let k = 0; k < i; k++) sum -= lower[i * p + k]! * x[k]!;
    x[i] = sum / pivot;
  }
  solveTransposed(factor, x);
  return x;
}

/** Solves L' x = right in place; entries of dropped pivots are 0. */
export function solveTransposed({ p, lower }: Factor, x: Float64Array): void {
  for (let i = p - 1; i >= 0; i--) {
    const pivot = lower[i * p + i]!;
    if (pivot === 0) {
      x[i] = 0;
      continue;
    }
    let sum = x[i]!;
    for (let k = i + 1; k < p; k++) sum -= lower[k * p + i]! * x[k]!;
    x[i] = sum / pivot;
  }
}

/** Inverse from the factor (a generalised inverse where pivots were dropped), symmetric. */
export function invertFactored(factor: Factor): Float64Array {
  const { p } = factor;
  const inverse = new Float64Array(p * p);
  const unit = new Float64Array(p);
  for (let j = 0; j < p; j++) {
    if (factor.lower[j * p + j] === 0) continue;
    unit[j] = 1;
    const column = solveFactored(factor, unit);
    unit[j] = 0;
    for (let i = 0; i < p; i++) inverse[i * p + j] = column[i]!;
  }
  for (let i = 0; i < p; i++) {
    for (let j = 0; j < i; j++) {
      const mean = (inverse[i * p + j]! + inverse[j * p + i]!) / 2;
      inverse[i * p + j] = inverse[j * p + i] = mean;
    }
  }
  return inverse;
}

/** x' A y for a p x p matrix. */
export function quadraticForm(
  x: ArrayLike<number>,
  matrix: Float64Array,
  y: ArrayLike<number> = x,
): number {
  const p = x.length;
  let total = 0;
  for (let i = 0; i < p; i++) {
    let row = 0;
    for (let j = 0; j < p; j++) row += matrix[i * p + j]! * y[j]!;
    total += x[i]! * row;
  }
  return total;
}

/** A * B for p x p matrices. */
export function multiplySquare(a: Float64Array, b: Float64Array, p: number): Float64Array {
  const product = new Float64Array(p * p);
  for (let i = 0; i < p; i++) {
    for (let k = 0; k < p; k++) {
      const scale = a[i * p + k]!;
      for (let j = 0; j < p; j++) product[i * p + j]! += scale * b[k * p + j]!;
    }
  }
  return product;
}

/** A * B * A' for p x p matrices: the covariance B carried over to A times what it is of. */
export function multiplyAround(a: Float64Array, b: Float64Array, p: number): Float64Array {
  const transposed = new Float64Array(p * p);
  for (let i = 0; i < p; i++) for (let j = 0; j < p; j++) transposed[j * p + i] = a[i * p + j]!;
  return multiplySquare(multiplySquare(a, b, p), transposed, p);
}

/** Sum of the products of two vectors of one length. */
export function dot(a: ArrayLike<number>, b: ArrayLike<number>): number {
  let sum = 0;
  for (let k = 0; k < a.length; k++) sum += a[k]! * b[k]!;
  return sum;
}
