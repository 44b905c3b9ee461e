import { factorSymmetric, invertFactored, solveFactored } from "../../numerics/mod.ts";

/** A linear model with errors that are robust to clusters. */
export interface ClusteredFit {
  coefficients: Float64Array;
  /** p x p, row-major. */
  covariance: Float64Array;
  residuals: Float64Array;
}

/**
 * Least squares with the sandwich variance over clusters, times g / (g - 1), g clusters.
 *
 * @param columns The constant among them. @param codes Cluster of each row, 0 .. clusters - 1.
 * @param meatColumns Columns that multiply residuals in the variance: those of the second stage,
 * with the treatment as predicted.
 * @see Liang & Zeger (1986) Biometrika 73:13-22.
 */
export function clusteredLeastSquares(
  outcome: Float64Array,
  columns: Float64Array[],
  { codes, clusters }: { codes: Int32Array; clusters: number },
  residualColumns: Float64Array[] = columns,
): ClusteredFit {
  const n = outcome.length;
  const p = columns.length;
  const matrix = new Float64Array(p * p);
  const right = new Float64Array(p);
  for (let j = 0; j < p; j++) {
    const own = columns[j]!;
    for (let i = 0; i < n; i++) right[j]! += own[i]! * outcome[i]!;
    for (let k = 0; k <= j; k++) {
      const other = columns[k]!;
      let sum = 0;
      for (let i = 0; i < n; i++) sum += own[i]! * other[i]!;
      matrix[j * p + k] = matrix[k * p + j] = sum;
    }
  }
  const factor = factorSymmetric(matrix, p);
  const coefficients = solveFactored(factor, right);
  const residuals = outcome.map((y, i) =>
    y - residualColumns.reduce((sum, column, j) => sum + coefficients[j]! * column[i]!, 0)
  );
  const scores = new Float64Array(clusters * p);
  for (let i = 0; i < n; i++) {
    for (let j = 0; j < p; j++) scores[codes[i]! * p + j]! += residuals[i]! * columns[j]![i]!;
  }
  const inverse = invertFactored(factor);
  const half = new Float64Array(clusters * p);
  for (let g = 0; g < clusters; g++) {
    for (let j = 0; j < p; j++) {
      for (let k = 0; k < p; k++) half[g * p + j]! += inverse[j * p + k]! * scores[g * p + k]!;
    }
  }
  const covariance = new Float64Array(p * p);
  const scale = clusters / (clusters - 1);
  for (let g = 0; g < clusters; g++) {
    for (let j = 0; j < p; j++) {
      for (let k = 0; k < p; k++) {
        covariance[j * p + k]! += scale * half[g * p + j]! * half[g * p + k]!;
      }
    }
  }
  return { coefficients, covariance, residuals };
}

/** The linear prediction of every row. */
export function predicted(columns: Float64Array[], coefficients: Float64Array): Float64Array {
  return columns[0]!.map((_, i) =>
    columns.reduce((sum, column, j) => sum + coefficients[j]! * column[i]!, 0)
  );
}
