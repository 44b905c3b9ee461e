import { binaryColumn, checkDataColumns, type Numbers } from "../../numerics/mod.ts";
import { type LogisticFit, logisticRegression, type PredictedMeans } from "../models/mod.ts";
import { riskLimits } from "./risk-limits.ts";
import { type KnotChoice, splineColumns } from "./spline-columns.ts";

/** A risk that follows measurements smoothly. */
export interface SmoothRisk {
  /** Names: the measurement, and `measurement'1`, ... for its bends. */
  fit: LogisticFit;
  /** Knots of each covariate that bends, in its unit. */
  knots: Record<string, number[]>;
  /** Risk at other values: every measurement and every other covariate, columns of one length. */
  riskAt(values: Record<string, Numbers>): Float64Array;
  /** The same with limits, normal on the log odds; `standardError` is that of the log odds. */
  limitsAt(values: Record<string, Numbers>): PredictedMeans;
}

/**
 * Logistic model in which each measurement enters as a restricted cubic spline, so that no line is
 * drawn through the patients.
 *
 * Covariates in `linear` enter as they are. With `weight` the variance is robust. Not converging is
 * no error: see `fit.converged`. Cost: that of the logistic regression.
 *
 * @example Ejection fraction below 50% a year after operation, by what it was before
 * ```ts ignore
 * import { smoothRisk } from "mitral";
 * const lvef = [60, 48, 55, 61, 44, 52, 58, 40, 63, 57, 49, 62];
 * const { riskAt } = smoothRisk({ outcome, measurements: { lvef, lvesd } });
 * riskAt({ lvef: [64, 55], lvesd: [37, 37] });
 * ```
 * @param data.outcome 0 or 1, both present.
 * @param data.measurements At least one, without missing values.
 * @param options.knots How many for each measurement, 4 (places as {@link splineKnots}), or where.
 * @throws {DataError} on missing values, lengths that differ, or too few distinct values for knots.
 * @see Harrell (2015) Regression Modeling Strategies, 2nd ed., section 2.4.
 */
export function smoothRisk(
  data: {
    outcome: Numbers;
    measurements: Record<string, Numbers>;
    linear?: Record<string, Numbers>;
    weight?: Numbers;
  },
  options: { knots?: KnotChoice; confidence?: number } = {},
): SmoothRisk {
  checkDataColumns("smoothRisk", data, ["outcome", "measurements", "linear", "weight"]);
  const outcome = binaryColumn("outcome", data.outcome);
  const { knots: asked = 4, confidence } = options;
  const { measurements, linear = {}, weight } = data;
  const { knots, columnsOf } = splineColumns({ measurements, linear }, outcome.length, asked);
  const level = confidence === undefined ? {} : { confidence };
  const fit = logisticRegression({
    outcome,
    covariates: columnsOf({ ...measurements, ...linear }),
    ...(weight && { weight }),
  }, level);
  return {
    fit,
    knots,
    riskAt: (values) => fit.probabilityFor(columnsOf(values)),
    limitsAt: (values) => riskLimits(fit, columnsOf(values), level),
  };
}
