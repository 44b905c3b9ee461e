import { multiplySquare } from "../../numerics/mod.ts";
import { addWeightedProducts, mirror } from "../../survival/cox/mod.ts";

/** Sum over clusters (rows, without clusters) of u u', u the cluster's summed contributions. */
export function crossProducts(
  scores: Float64Array,
  { n, p }: { n: number; p: number },
  cluster: { codeAt: Int32Array; count: number } | undefined,
): Float64Array {
  let rows = scores;
  let count = n;
  if (cluster) {
    count = cluster.count;
    rows = new Float64Array(count * p);
    for (let i = 0; i < n; i++) {
      const base = cluster.codeAt[i]! * p;
      for (let j = 0; j < p; j++) rows[base + j]! += scores[i * p + j]!;
    }
  }
  const products = new Float64Array(p * p);
  addWeightedProducts(rows, p, 0, count, new Float64Array(count).fill(1), products);
  mirror(products, p);
  return products;
}

/** V M V, made symmetric to the last bit. */
export function sandwich(bread: Float64Array, middle: Float64Array, p: number): Float64Array {
  const product = multiplySquare(multiplySquare(bread, middle, p), bread, p);
  mirror(product, p);
  return product;
}
