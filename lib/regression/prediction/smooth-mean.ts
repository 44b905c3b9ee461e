import { checkDataColumns, type Labels, numberColumn, type Numbers } from "../../numerics/mod.ts";
import { type LinearFit, linearRegression, type PredictedMeans } from "../models/mod.ts";
import { type KnotChoice, splineColumns } from "./spline-columns.ts";

/** A mean that follows measurements smoothly. */
export interface SmoothMean {
  /** Names: the measurement, and `measurement'1`, ... for its bends. */
  fit: LinearFit;
  /** Knots of each covariate that bends, in its unit. */
  knots: Record<string, number[]>;
  /** Mean, with limits, at other values of every measurement and other covariate. */
  meanAt(values: Record<string, Numbers>): PredictedMeans;
}

/**
 * Linear model in which each measurement enters as a restricted cubic spline, with robust errors:
 * how a change (of ejection fraction, of a diameter) goes with what was measured before.
 *
 * @example
 * ```ts
 * import { smoothMean } from "mitral";
 *
 * const lvef = [48, 52, 55, 58, 60, 62, 64, 66, 68, 70];
 * const change = [-3, -5, -4, -6, -8, -7, -9, -11, -10, -12];
 * const { meanAt } = smoothMean({ outcome: change, measurements: { lvef } }, { knots: 3 });
 * meanAt({ lvef: [60] }).upper[0];
 * ```
 * @param data.outcome Finite.
 * @param data.measurements At least one, without missing values.
 * @param data.linear Further covariates, entering as they are.
 * @param options.knots How many for each measurement, 4 (places as `splineKnots`), or where.
 * @throws {DataError} on missing values, lengths that differ, or too few distinct values for knots.
 * @see Harrell (2015) Regression Modeling Strategies, 2nd ed., section 2.4.
 */
export function smoothMean(
  data: {
    outcome: Numbers;
    measurements: Record<string, Numbers>;
    linear?: Record<string, Numbers>;
    weight?: Numbers;
    cluster?: Labels;
  },
  options: { knots?: KnotChoice; confidence?: number } = {},
): SmoothMean {
  checkDataColumns("smoothMean", data, ["outcome", "measurements", "linear", "weight", "cluster"]);
  const outcome = numberColumn("outcome", data.outcome);
  const { knots: asked = 4, confidence } = options;
  const { measurements, linear = {}, weight, cluster } = data;
  const { knots, columnsOf } = splineColumns({ measurements, linear }, outcome.length, asked);
  const fit = linearRegression({
    outcome,
    covariates: columnsOf({ ...measurements, ...linear }),
    ...(weight && { weight }),
    ...(cluster && { cluster }),
  }, confidence === undefined ? {} : { confidence });
  return { fit, knots, meanAt: (values) => fit.meanFor(columnsOf(values)) };
}
