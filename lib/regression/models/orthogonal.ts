/** Columns made orthonormal, with the triangle that leads back. */
export interface Orthogonal {
  /** Orthonormal columns, one a column kept. */
  basis: Float64Array[];
  /** Upper triangle R of size kept * kept, row-major: column = sum of basis * R. */
  triangle: Float64Array;
  /** Indices of the columns kept: the others are combinations of earlier ones, to `tolerance`. */
  kept: number[];
}

/**
 * Gram-Schmidt with each column cleared twice, which is orthogonal to rounding (Giraud, Langou and
 * Rozloznik 2005, Comput Math Appl 50:1069). Cost O(n q^2).
 *
 * @param tolerance A column whose length falls below this share of its own is left out.
 */
export function orthogonalize(columns: readonly Float64Array[], tolerance = 1e-10): Orthogonal {
  const basis: Float64Array[] = [];
  const rows: Float64Array[] = []; // of R, by column
  const kept: number[] = [];
  columns.forEach((given, j) => {
    const column = given.slice();
    const before = length(column);
    const parts = new Float64Array(basis.length + 1);
    for (let pass = 0; pass < 2; pass++) {
      basis.forEach((direction, k) => {
        const part = product(direction, column);
        parts[k]! += part;
        for (let i = 0; i < column.length; i++) column[i]! -= part * direction[i]!;
      });
    }
    const left = length(column);
    if (!(left > tolerance * before)) return;
    parts[basis.length] = left;
    for (let i = 0; i < column.length; i++) column[i]! /= left;
    basis.push(column);
    rows.push(parts);
    kept.push(j);
  });
  const q = kept.length;
  const triangle = new Float64Array(q * q);
  rows.forEach((parts, j) => parts.forEach((part, k) => triangle[k * q + j] = part));
  return { basis, triangle, kept };
}

/** R^-1 b. */
export function solveTriangle(triangle: Float64Array, right: ArrayLike<number>): Float64Array {
  const q = right.length;
  const x = Float64Array.from(right);
  for (let i = q - 1; i >= 0; i--) {
    for (let k = i + 1; k < q; k++) x[i]! -= triangle[i * q + k]! * x[k]!;
    x[i]! /= triangle[i * q + i]!;
  }
  return x;
}

/** R^-1 M R^-T of a symmetric M. */
export function backTransformed(triangle: Float64Array, middle: Float64Array): Float64Array {
  const q = Math.round(Math.sqrt(middle.length));
  const half = new Float64Array(q * q); // columns of R^-1 M
  const result = new Float64Array(q * q);
  for (let j = 0; j < q; j++) {
    const column = Float64Array.from({ length: q }, (_, i) => middle[i * q + j]!);
    solveTriangle(triangle, column).forEach((value, i) => half[i * q + j] = value);
  }
  for (let i = 0; i < q; i++) {
    result.set(solveTriangle(triangle, half.subarray(i * q, i * q + q)), i * q);
  }
  return result;
}

function product(a: Float64Array, b: Float64Array): number {
  let sum = 0;
  for (let i = 0; i < a.length; i++) sum += a[i]! * b[i]!;
  return sum;
}

function length(column: Float64Array): number {
  return Math.sqrt(product(column, column));
}
