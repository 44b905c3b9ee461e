import { checkConfidence, checkWhole } from "../../numerics/mod.ts";
import { drawer, type ResamplingUnits, rowsThemselves } from "./draws.ts";
import { type Bootstrap, summariseReplicates } from "./summary.ts";

/**
 * Bootstrap limits of any statistic of rows.
 *
 * Limits are accelerated ones (see `bootstrapLimits`), their acceleration from a jackknife of
 * `parts` random parts of the units, unless the bias is above a quarter of the standard error;
 * `used` says which and why, `limits` has them all.
 *
 * Put the whole procedure into the statistic: a propensity score must be estimated, and patients
 * matched, anew in each replicate. Matched pairs taken as given are resampled as clusters. Matching
 * with replacement is not smooth enough for the bootstrap. Cost: `replicates` + `parts` times the
 * statistic.
 *
 * @example
 * ```ts
 * import { bootstrap } from "mitral";
 * const x = [1, 2, 3, 4, 5];
 * const mean = (rows: Int32Array) => rows.reduce((sum, row) => sum + x[row]!, 0) / rows.length;
 * bootstrap(x.length, mean, { seed: 1 }).standardError; // about 0.63
 * ```
 * @param units How many rows, or the cluster of each row.
 * @param statistic Of rows, given with repetition; `unit` tells repeated units apart.
 * @throws {DataError} if the statistic of the rows themselves, or of nearly all replicates, is not
 * finite.
 * @see Efron & Tibshirani (1993) An Introduction to the Bootstrap, section 10.3 for the quarter of
 * a standard error; limits: Davison & Hinkley (1997) Bootstrap Methods, chapter 5;
 * in matched pairs:
 * Austin & Small (2014) Stat Med 33:4306-4319.
 */
export function bootstrap(
  units: ResamplingUnits,
  statistic: (rows: Int32Array, unit: Int32Array) => number,
  options: { seed: number; replicates?: number; parts?: number; confidence?: number },
): Bootstrap {
  const { confidence, wanted, parts } = bootstrapPlan(options);
  const draw = drawer(units, options.seed, { wanted, parts });
  const own = rowsThemselves(units);
  const estimate = statistic(own.rows, own.unit);
  const values = new Float64Array(draw.count);
  for (let r = 0; r < draw.count; r++) {
    const { rows, unit } = draw.rows(r);
    values[r] = statistic(rows, unit);
  }
  return summariseReplicates(estimate, values, { wanted, confidence });
}

/** @throws {DataError} */
export function bootstrapPlan(
  options: { replicates?: number; parts?: number; confidence?: number },
) {
  return {
    confidence: checkConfidence(options.confidence),
    wanted: checkWhole("replicates", options.replicates ?? 1000, 20),
    parts: options.parts === 0 ? 0 : checkWhole("parts", options.parts ?? 50, 10),
  };
}
