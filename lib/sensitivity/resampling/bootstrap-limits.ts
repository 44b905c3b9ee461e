import {
  checkChoice,
  checkConfidence,
  checkDataColumns,
  checkNumber,
  DataError,
  distributions,
  numberColumn,
  type Numbers,
  quantileOfSorted,
} from "../../numerics/mod.ts";

/** How limits are read from bootstrap replicates; see {@link bootstrapLimits}. */
export type BootstrapMethod = "percentile" | "basic" | "accelerated";

/**
 * Confidence limits from bootstrap replicates of an estimate t.
 *
 * - percentile: the quantiles a and 1 - a of the replicates, a half of 1 - confidence. Right where
 *   the replicates scatter about t as t does about the truth, seen in a mirror.
 * - basic: 2 t less the upper quantile, and 2 t less the lower one. A bias that resampling shows is
 *   taken off.
 * - accelerated: quantiles of the replicates at levels moved for bias (the share of replicates
 *   strictly below t) and for a standard error that changes with the truth (acceleration, from the
 *   skewness of the jackknife values). Closer than either where the bias is small.
 *
 * Quantiles lie linear between order statistics at (B - 1) p (type 7). Cost: O(B log B).
 *
 * @param data.jackknife The estimate with each unit, or each of many equal groups of units, left
 * out; needed for "accelerated".
 * @example
 * ```ts
 * import { bootstrapLimits } from "mitral";
 * bootstrapLimits({ estimate: 2, replicates: [1, 2, 3, 4] }, { method: "basic" });
 * // { lower: 0.075, upper: 2.925 }
 * ```
 * @throws {DataError} on values that are not finite, and where "accelerated" has no jackknife
 * values or no replicate on one side of the estimate.
 * @see Efron (1987) JASA 82:171-185; DiCiccio & Efron (1996) Stat Sci 11:189-228; Davison & Hinkley
 * (1997) Bootstrap Methods and their Application, chapter 5.
 */
export function bootstrapLimits(
  data: { estimate: number; replicates: Numbers; jackknife?: Numbers },
  options: { method: BootstrapMethod; confidence?: number },
): { lower: number; upper: number } {
  checkDataColumns("bootstrapLimits", data, ["estimate", "replicates", "jackknife"]);
  const method = checkChoice("method", options.method, ["percentile", "basic", "accelerated"]);
  const tail = (1 - checkConfidence(options.confidence)) / 2;
  const estimate = checkNumber("estimate", data.estimate, Number.isFinite, "a finite number");
  const sorted = numberColumn("replicates", data.replicates).slice().sort();
  if (sorted.length < 2) throw new DataError("replicates", "two or more", data.replicates);
  if (method === "accelerated") {
    if (data.jackknife === undefined) {
      throw new DataError("jackknife", 'given where the method is "accelerated"', undefined);
    }
    const levels = acceleratedLevels(estimate, sorted, {
      acceleration: accelerationOf(numberColumn("jackknife", data.jackknife)),
      tail,
    });
    if (!levels) {
      throw new DataError(
        "replicates",
        "such that limits can be accelerated: some on either side of the estimate, and jackknife " +
          "values without an extreme one",
        data.replicates,
      );
    }
    return {
      lower: quantileOfSorted(sorted, levels[0]),
      upper: quantileOfSorted(sorted, levels[1]),
    };
  }
  const lower = quantileOfSorted(sorted, tail);
  const upper = quantileOfSorted(sorted, 1 - tail);
  return method === "percentile"
    ? { lower, upper }
    : { lower: 2 * estimate - upper, upper: 2 * estimate - lower };
}

/**
 * sum (m - t)^3 / (6 (sum (m - t)^2)^1.5) over jackknife values t with mean m; 0 where all agree.
 */
export function accelerationOf(jackknife: Float64Array): number {
  let mean = 0;
  for (const value of jackknife) mean += value / jackknife.length;
  let squares = 0;
  let cubes = 0;
  for (const value of jackknife) {
    squares += (mean - value) ** 2;
    cubes += (mean - value) ** 3;
  }
  return squares > 0 ? cubes / (6 * squares ** 1.5) : 0;
}

/**
 * The levels at which the sorted replicates are read; undefined where all replicates lie on one
 * side of the estimate, or the acceleration carries a level past the end.
 */
export function acceleratedLevels(
  estimate: number,
  sorted: Float64Array,
  { acceleration, tail }: { acceleration: number; tail: number },
): [lower: number, upper: number] | undefined {
  let below = 0;
  while (below < sorted.length && sorted[below]! < estimate) below++;
  if (below === 0 || below === sorted.length) return undefined;
  const shift = distributions.normalQuantile(below / sorted.length);
  const level = (p: number) => {
    const z = shift + distributions.normalQuantile(p);
    const stretched = 1 - acceleration * z;
    return stretched > 0 ? distributions.normalLower(shift + z / stretched) : NaN;
  };
  const levels: [number, number] = [level(tail), level(1 - tail)];
  return levels.some(Number.isNaN) ? undefined : levels;
}
