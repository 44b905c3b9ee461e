/** Rows that a pass over columns takes at a time: few enough to stay in the processor's cache. */
export const BLOCK = 256;

const first = new Float64Array(BLOCK);
const second = new Float64Array(BLOCK);

/**
 * Adds to a q x q matrix, up to its diagonal, the products of each of q columns with those of a
 * block: two columns with four at a time, which need be read half as often. Columns of the block
 * stand one after the other, BLOCK apart; `size` of their rows are in use.
 *
 * @param columnInto Writes column j to an array.
 */
export function addProducts(
  columnInto: (j: number, into: Float64Array) => void,
  block: Float64Array,
  q: number,
  size: number,
  matrix: Float64Array,
): void {
  let j = 0;
  for (; j + 1 < q; j += 2) {
    columnInto(j, first);
    columnInto(j + 1, second);
    addTwoRows(block, j, q, size, matrix);
  }
  if (j === q) return;
  columnInto(j, first);
  for (let k = 0; k <= j; k++) {
    const base = k * BLOCK;
    let a = 0;
    for (let i = 0; i < size; i++) a += first[i]! * block[base + i]!;
    matrix[j * q + k]! += a;
  }
}

function addTwoRows(
  block: Float64Array,
  j: number,
  q: number,
  size: number,
  matrix: Float64Array,
): void {
  const upper = j * q;
  const lower = upper + q;
  let k = 0;
  for (; k + 3 <= j; k += 4) {
    const base = k * BLOCK;
    let a = 0;
    let b = 0;
    let c = 0;
    let d = 0;
    let e = 0;
    let f = 0;
    let g = 0;
    let h = 0;
    for (let i = 0; i < size; i++) {
      const v = first[i]!;
      const w = second[i]!;
      const z0 = block[base + i]!;
      const z1 = block[base + BLOCK + i]!;
      const z2 = block[base + 2 * BLOCK + i]!;
      const z3 = block[base + 3 * BLOCK + i]!;
      a += v * z0;
      b += v * z1;
      c += v * z2;
      d += v * z3;
      e += w * z0;
      f += w * z1;
      g += w * z2;
      h += w * z3;
    }
    matrix[upper + k]! += a;
    matrix[upper + k + 1]! += b;
    matrix[upper + k + 2]! += c;
    matrix[upper + k + 3]! += d;
    matrix[lower + k]! += e;
    matrix[lower + k + 1]! += f;
    matrix[lower + k + 2]! += g;
    matrix[lower + k + 3]! += h;
  }
  for (; k <= j + 1; k++) {
    const base = k * BLOCK;
    let a = 0;
    let e = 0;
    for (let i = 0; i < size; i++) {
      const z = block[base + i]!;
      a += first[i]! * z;
      e += second[i]! * z;
    }
    if (k <= j) matrix[upper + k]! += a;
    matrix[lower + k]! += e;
  }
}

/** Copies the lower triangle of a q x q matrix to the upper one. */
export function mirrorLower(matrix: Float64Array, q: number): void {
  for (let j = 0; j < q; j++) for (let k = 0; k < j; k++) matrix[k * q + j] = matrix[j * q + k]!;
}
