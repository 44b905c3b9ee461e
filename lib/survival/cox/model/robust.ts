import { addWeightedProducts, type ClusterCodes, type CoxDesign, mirror } from "../rows/mod.ts";
import { type HazardTable, scoreResiduals, timesFactor } from "./influence.ts";
import { multiplySquare } from "../../../numerics/mod.ts";

/**
 * Weighted score residuals summed within clusters: their products (the middle of the sandwich, p x
 * p) and their total. Cost O(n p + clusters p^2).
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
  return productsOf(sums, p, count);
}

/**
 * Products, within clusters, of each row's influence on the score of a coefficient that changes
 * with g(t), the coefficients themselves re-estimated:
 *
 *   w [own part with g - through * own part without], through = I_theta,beta I_beta,beta^-1.
 *
 * @param through p x p, row-major.
 * @see Lin & Wei (1989) JASA 84:1074-1078.
 */
export function timeScoreProducts(
  design: CoxDesign,
  table: HazardTable,
  cluster: ClusterCodes | undefined,
  g: Float64Array,
  through: Float64Array,
): Float64Array {
  const { n, p, weight } = design;
  const count = cluster ? cluster.count : n;
  const sums = new Float64Array(count * p);
  const at = (place: number) => (cluster ? cluster.codeAt[place]! : place) * p;
  scoreResiduals(design, timesFactor(table, g), (place, residual) => {
    const w = weight ? weight[place]! : 1;
    for (let j = 0; j < p; j++) sums[at(place) + j]! += w * residual[j]!;
  }, g);
  scoreResiduals(design, table, (place, residual) => {
    const w = weight ? weight[place]! : 1;
    for (let j = 0; j < p; j++) {
      let part = 0;
      for (let a = 0; a < p; a++) part += through[j * p + a]! * residual[a]!;
      sums[at(place) + j]! -= w * part;
    }
  });
  return productsOf(sums, p, count).products;
}

/** Sum over rows u of u u', and of u. @param rows count x p, row-major. */
export function productsOf(
  rows: Float64Array,
  p: number,
  count: number,
): { products: Float64Array; total: Float64Array } {
  const products = new Float64Array(p * p);
  const total = new Float64Array(p);
  addWeightedProducts(rows, p, 0, count, new Float64Array(count).fill(1), products, total);
  mirror(products, p);
  return { products, total };
}

/** V M V, made symmetric to the last bit. */
export function sandwich(bread: Float64Array, middle: Float64Array, p: number): Float64Array {
  const product = multiplySquare(multiplySquare(bread, middle, p), bread, p);
  mirror(product, p);
  return product;
}
