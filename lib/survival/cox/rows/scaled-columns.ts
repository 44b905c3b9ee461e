import { type GroupColumn, valuesAt } from "../../../numerics/mod.ts";

/** Covariates as the kernels of regression on hazards take them: centred, scaled, row-major. */
export interface ScaledColumns {
  n: number;
  /** Covariates in the kernel: those that were not dropped. */
  p: number;
  /** n x p, row-major. */
  x: Float64Array;
  /** What a scaled coefficient is divided by to have it per unit of the covariate. */
  scale: Float64Array;
  /** Largest less smallest scaled value of each covariate. */
  range: Float64Array;
}

/** What is left of the columns with only some of the covariates; `x` is compacted in place. */
export function keepColumns(
  { n, p, x, scale, range }: ScaledColumns,
  kept: number[],
): Pick<ScaledColumns, "p" | "x" | "scale" | "range"> {
  const q = kept.length;
  for (let i = 0; i < n; i++) {
    for (let j = 0; j < q; j++) x[i * q + j] = x[i * p + kept[j]!]!;
  }
  return {
    p: q,
    x: x.subarray(0, n * q),
    scale: valuesAt(scale, kept),
    range: valuesAt(range, kept),
  };
}

/** Clusters by place; without them each row is its own. */
export interface ClusterCodes {
  codeAt: Int32Array;
  count: number;
}

/** Clusters of the caller's rows as clusters of places. */
export function clustersAt(
  rowAt: Uint32Array,
  clusters: GroupColumn | undefined,
): ClusterCodes | undefined {
  return clusters && {
    codeAt: Int32Array.from(rowAt, (row) => clusters.codes[row]!),
    count: clusters.labels.length,
  };
}
