/** Nodes and weights for integrals against the standard normal density: weights sum to 1. */
export interface NormalQuadrature {
  node: Float64Array;
  weight: Float64Array;
}

/**
 * Gauss-Hermite quadrature for the standard normal density: exact for polynomials up to degree
 * 2 k - 1. Roots of the Hermite polynomials by Newton's method from the outermost inwards, each
 * cleared of the roots found before.
 *
 * @param k Number of nodes, up to 60.
 */
export function normalQuadrature(k: number): NormalQuadrature {
  const node = new Float64Array(k); // the middle one of an odd number is 0
  const weight = new Float64Array(k);
  const pairs = Math.floor(k / 2);
  for (let r = 0; r < pairs; r++) {
    let x = r === 0 ? Math.sqrt(2 * k + 1) : 0.9 * node[r - 1]!;
    for (let iteration = 0; iteration < 200; iteration++) {
      const { value, slope } = hermite(k, x);
      let cleared = slope / value - (k % 2) / x;
      for (let q = 0; q < r; q++) cleared -= 2 * x / (x * x - node[q]! ** 2);
      const move = 1 / cleared;
      x -= move;
      if (Math.abs(move) < 1e-15 * Math.abs(x)) break;
    }
    node[r] = x;
    node[k - 1 - r] = -x;
  }
  for (let r = 0; r < k; r++) weight[r] = 1 / (k * hermite(k, node[r]!).before ** 2);
  return { node, weight };
}

/** Normalised Hermite polynomial of degree k, the one before, and its slope. */
function hermite(k: number, x: number): { value: number; slope: number; before: number } {
  let before = 0;
  let value = 1;
  for (let j = 1; j <= k; j++) {
    const next = (x * value - Math.sqrt(j - 1) * before) / Math.sqrt(j);
    before = value;
    value = next;
  }
  return { value, slope: Math.sqrt(k) * before, before };
}
