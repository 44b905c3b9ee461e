import { binaryColumn, checkDataColumns, DataError, type Numbers } from "../../numerics/mod.ts";
import { type LogisticFit, logisticRegression } from "../../regression/models/mod.ts";
import { effectiveSampleSize } from "./effective-sample-size.ts";

/** What each measured row stands for. */
export interface MeasurementWeights {
  /** Share measured over the chance of being measured; 0 where it was not. */
  weight: Float64Array;
  /** Estimated chance of being measured. */
  chance: Float64Array;
  /** How many have the measurement. */
  measured: number;
  /** How many equally weighted rows would tell as much. */
  effective: number;
  /** The model of being measured; none where everybody was. */
  fit?: LogisticFit;
}

/**
 * Weights that let the measured stand for all who could have been: the inverse of the chance of
 * being measured, by logistic regression on what was known before, times the share measured.
 *
 * They mend only what the covariates tell of who is looked at; a visit made because of symptoms
 * that nobody wrote down they do not. Cost: a logistic regression.
 *
 * @example
 * ```ts
 * import { measurementWeights } from "mitral";
 * const hadEcho = [0, 1, 0, 1, 1, 0, 0, 1, 0, 1, 0, 1];
 * const age = [61, 72, 70, 55, 68, 75, 64, 71, 58, 66, 73, 60];
 * const lvef = [60, 48, 55, 61, 44, 52, 58, 40, 63, 57, 49, 62];
 * measurementWeights({ measured: hadEcho, covariates: { age, lvef } }).weight;
 * ```
 * @param data.measured 1 where the outcome was measured, 0 where it could have been and was not.
 * @throws {DataError} if nobody was measured, or on values that are not finite.
 * @see Seaman & White (2013) Stat Methods Med Res 22:278-295.
 */
export function measurementWeights(
  data: { measured: Numbers; covariates: Record<string, Numbers> },
): MeasurementWeights {
  checkDataColumns("measurementWeights", data, ["measured", "covariates"]);
  const flags = binaryColumn("measured", data.measured);
  const measured = flags.reduce((sum, one) => sum + one, 0);
  if (measured === 0) throw new DataError("measured", "1 in at least one row", "0 only");
  // with everybody measured there is nothing to model
  const fit = measured < flags.length
    ? logisticRegression({ outcome: flags, covariates: data.covariates })
    : undefined;
  const chance = fit?.fitted ?? new Float64Array(flags.length).fill(1);
  const share = measured / flags.length;
  const weight = Float64Array.from(flags, (one, row) => one ? share / chance[row]! : 0);
  return { weight, chance, measured, effective: effectiveSampleSize(weight), fit };
}
