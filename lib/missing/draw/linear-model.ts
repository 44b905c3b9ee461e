import {
  addProducts,
  BLOCK,
  factorSymmetric,
  mirrorLower,
  type SeededRandom,
  solveFactored,
} from "../../numerics/mod.ts";
import { priorPrecision } from "./mode.ts";
import { drawAround, drawChiSquare } from "./random-draws.ts";

/** A linear model's coefficients, constant first: as estimated, and drawn from their posterior. */
export interface LinearDraw {
  estimated: Float64Array;
  drawn: Float64Array;
}

/**
 * Least squares of `outcome` on columns scaled to standard deviation 1, and a draw: variance from
 * its scaled inverse chi-square, coefficients around the estimate. The prior of `posteriorMode`, on
 * the outcome's own scale, keeps the solution steady where columns say the same.
 *
 * Cost O(n q^2 / 2).
 *
 * @see Rubin (1987) Multiple Imputation for Nonresponse in Surveys, example 5.1.
 */
export function drawLinear(
  outcome: Float64Array,
  columns: Float64Array[],
  random: SeededRandom,
): LinearDraw {
  const n = outcome.length;
  const p = columns.length + 1;
  const q = p + 1;
  let mean = 0;
  for (let i = 0; i < n; i++) mean += outcome[i]! / n;
  let squares = 0;
  for (let i = 0; i < n; i++) squares += (outcome[i]! - mean) ** 2;
  const spread = Math.sqrt(squares / n) || 1;
  // constant, columns, and last the outcome, standardised
  const products = new Float64Array(q * q);
  const block = new Float64Array(q * BLOCK);
  block.fill(1, 0, BLOCK);
  for (let start = 0; start < n; start += BLOCK) {
    const size = Math.min(BLOCK, n - start);
    for (let j = 1; j < p; j++) {
      const column = columns[j - 1]!;
      const base = j * BLOCK;
      for (let i = 0; i < size; i++) block[base + i] = column[start + i]!;
    }
    for (let i = 0; i < size; i++) block[p * BLOCK + i] = (outcome[start + i]! - mean) / spread;
    addProducts(
      (j, into) => {
        for (let i = 0; i < size; i++) into[i] = block[j * BLOCK + i]!;
      },
      block,
      q,
      size,
      products,
    );
  }
  mirrorLower(products, q);
  const matrix = new Float64Array(p * p);
  const right = new Float64Array(p);
  for (let j = 0; j < p; j++) {
    for (let k = 0; k < p; k++) matrix[j * p + k] = products[j * q + k]!;
    right[j] = products[j * q + p]!;
    if (j > 0) matrix[j * p + j]! += priorPrecision;
  }
  const factor = factorSymmetric(matrix, p);
  const beta = solveFactored(factor, right);
  let residual = products[p * q + p]!;
  for (let j = 0; j < p; j++) residual -= beta[j]! * right[j]!;
  const degreesOfFreedom = Math.max(1, n - p + factor.dropped.length);
  const deviation = Math.sqrt(Math.max(0, residual) / drawChiSquare(random, degreesOfFreedom));
  const drawn = drawAround(beta, factor, random, deviation);
  const back = (own: Float64Array) => {
    const scaled = own.map((b) => b * spread);
    scaled[0]! += mean;
    return scaled;
  };
  return { estimated: back(beta), drawn: back(drawn) };
}
