import type { CoxDesign } from "./design.ts";
import { type HazardTable, scoreResiduals } from "./influence.ts";
import { addWeightedProducts, mirror } from "./products.ts";
import { multiplySquare } from "../../numerics/mod.ts";

/** Clusters by place; without them each row is its own. */
export interface ClusterCodes {
  codeAt: Int32Array;
  count: number;
}

/**
 * Weighted score residuals summed within clusters: their products (the middle of the sandwich, p x p)
 * and their total. Cost O(n p + clusters p^2).
 *
 * @see Lin & Wei (1989) JASA 84:1074-1078; Lee, Wei & Amato (1992) for clusters.
 */
export function clusteredScores(
  design: CoxDesign,
  table: HazardTable,
  cluster: ClusterCodes | undefined,
): { products: Float64Array; total: Float64Array } {
  const { n, p, weight } = design;
  const count = cluster ? cluster.count : n;
  const sums = new Float64Array(count * p);
  scoreResiduals(design, table, (place, residual) => {
    const w = weight ? weight[place]! : 1;
    const base = (cluster ? cluster.codeAt[place]! : place) * p;
    for (let j = 0; j < p; j++) sums[base + j]! += w * residual[j]!;
  });
  const products = new Float64Array(p * p);
  const total = new Float64Array(p);
  addWeightedProducts(sums, p, 0, count, new Float64Array(count).fill(1), products, total);
  mirror(products, p);
  return { products, total };
}

/** V M V, made symmetric to the last bit. */
export function sandwich(bread: Float64Array, middle: Float64Array, p: number): Float64Array {
  const product = multiplySquare(multiplySquare(bread, middle, p), bread, p);
  mirror(product, p);
  return product;
}
