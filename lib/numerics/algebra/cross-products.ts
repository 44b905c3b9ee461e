/** Rows that a pass over columns takes at a time: few enough to stay in the processor's cache. */
export const BLOCK = 256;

/**
 * Adds to row j of a q x q matrix, up to its diagonal, the products of one column with columns 0..j
 * of a block, four at a time. Columns of the block stand one after the other, BLOCK apart; `size`
 * of their rows are in use.
 */
export function addProducts(
  column: Float64Array,
  block: Float64Array,
  j: number,
  q: number,
  size: number,
  matrix: Float64Array,
): void {
  let k = 0;
  for (; k + 3 <= j; k += 4) {
    const base = k * BLOCK;
    let a = 0;
    let b = 0;
    let c = 0;
    let d = 0;
    for (let i = 0; i < size; i++) {
      const v = column[i]!;
      a += v * block[base + i]!;
      b += v * block[base + BLOCK + i]!;
      c += v * block[base + 2 * BLOCK + i]!;
      d += v * block[base + 3 * BLOCK + i]!;
    }
    matrix[j * q + k]! += a;
    matrix[j * q + k + 1]! += b;
    matrix[j * q + k + 2]! += c;
    matrix[j * q + k + 3]! += d;
  }
  for (; k <= j; k++) {
    const base = k * BLOCK;
    let a = 0;
    for (let i = 0; i < size; i++) a += column[i]! * block[base + i]!;
    matrix[j * q + k]! += a;
  }
}

/** Copies the lower triangle of a q x q matrix to the upper one. */
export function mirrorLower(matrix: Float64Array, q: number): void {
  for (let j = 0; j < q; j++) for (let k = 0; k < j; k++) matrix[k * q + j] = matrix[j * q + k]!;
}
