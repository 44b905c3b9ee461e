/**
 * Adds sum over rows of weight * x x' to the lower triangle of `matrix`, and of weight * x to
 * `vector` where one is given. Four rows at a time, so that each entry of the matrix is read and
 * written once for four products. Cost O(count p^2).
 *
 * @param x Rows of length p, row-major, starting at place `from`.
 */
export function addWeightedProducts(
  x: Float64Array,
  p: number,
  from: number,
  to: number,
  weight: Float64Array,
  matrix: Float64Array,
  vector?: Float64Array,
): void {
  let i = from;
  for (; i + 4 <= to; i += 4) {
    const w0 = weight[i]!, w1 = weight[i + 1]!, w2 = weight[i + 2]!, w3 = weight[i + 3]!;
    const r0 = i * p, r1 = r0 + p, r2 = r1 + p, r3 = r2 + p;
    for (let a = 0; a < p; a++) {
      const x0 = w0 * x[r0 + a]!, x1 = w1 * x[r1 + a]!;
      const x2 = w2 * x[r2 + a]!, x3 = w3 * x[r3 + a]!;
      if (vector) vector[a]! += x0 + x1 + x2 + x3;
      const row = a * p;
      for (let b = 0; b <= a; b++) {
        matrix[row + b]! += x0 * x[r0 + b]! + x1 * x[r1 + b]! + x2 * x[r2 + b]! + x3 * x[r3 + b]!;
      }
    }
  }
  for (; i < to; i++) {
    const w = weight[i]!;
    const base = i * p;
    for (let a = 0; a < p; a++) {
      const scaled = w * x[base + a]!;
      if (vector) vector[a]! += scaled;
      for (let b = 0; b <= a; b++) matrix[a * p + b]! += scaled * x[base + b]!;
    }
  }
}

/** Copies the lower triangle to the upper. */
export function mirror(matrix: Float64Array, p: number): void {
  for (let a = 0; a < p; a++) {
    for (let b = 0; b < a; b++) matrix[b * p + a] = matrix[a * p + b]!;
  }
}

/** Collects single rows and adds their weighted products in panels. */
export interface Panel {
  add(row: Float64Array, weight: number): void;
  /** Adds what is still held. Must be called before the matrix is read. */
  flush(): void;
}

/** A {@link Panel} that adds to `matrix` (p x p, lower triangle). */
export function panel(matrix: Float64Array, p: number): Panel {
  const size = 64;
  const rows = new Float64Array(size * p);
  const weights = new Float64Array(size);
  let held = 0;
  function flush(): void {
    addWeightedProducts(rows, p, 0, held, weights, matrix);
    held = 0;
  }
  function add(row: Float64Array, weight: number): void {
    const base = held * p;
    for (let j = 0; j < p; j++) rows[base + j] = row[j]!;
    weights[held++] = weight;
    if (held === size) flush();
  }
  return { add, flush };
}
