import { dot } from "../../numerics/mod.ts";

/**
 * Sums of products of each pair of columns, each row by its weight.
 *
 * @returns Row-major, symmetric. Cost O(n p^2), p columns of n rows.
 */
export function sumsOfProducts(
  columns: readonly Float64Array[],
  weight: Float64Array,
): Float64Array {
  const p = columns.length;
  const sums = new Float64Array(p * p);
  columns.forEach((column, a) => {
    const weighed = column.map((x, i) => x * weight[i]!);
    for (let b = 0; b <= a; b++) {
      sums[a * p + b] = sums[b * p + a] = dot(weighed, columns[b]!);
    }
  });
  return sums;
}
