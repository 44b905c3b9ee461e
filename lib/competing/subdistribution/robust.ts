import { type ClusterCodes, productsOf } from "../../survival/cox/mod.ts";

/** Sum over clusters (rows, without clusters) of u u', u the cluster's summed contributions. */
export function crossProducts(
  scores: Float64Array,
  { n, p }: { n: number; p: number },
  cluster: ClusterCodes | undefined,
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
  return productsOf(rows, p, count).products;
}
