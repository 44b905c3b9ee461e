import {
  binaryColumn,
  checkLength,
  DataError,
  numberColumn,
  type Numbers,
} from "../../numerics/mod.ts";
import { type LogisticFit, logisticRegression, splineBasis, splineKnots } from "../models/mod.ts";

/** A risk that follows measurements smoothly. */
export interface SmoothRisk {
  /** Names: the measurement, and `measurement'1`, ... for its bends. */
  fit: LogisticFit;
  knots: Record<string, number[]>;
  /** Risk at other values: every measurement and every other covariate, columns of one length. */
  riskAt(values: Record<string, Numbers>): Float64Array;
}

/**
 * Logistic model in which each measurement enters as a restricted cubic spline, so that no line is
 * drawn through the patients.
 *
 * Covariates in `linear` enter as they are. With `weight` the variance is robust. Not converging is
 * no error: see `fit.converged`. Cost: that of the logistic regression.
 *
 * @example Ejection fraction below 50% a year after operation, by what it was before
 * ```ts
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
  options: { knots?: number | Record<string, number[]>; confidence?: number } = {},
): SmoothRisk {
  const outcome = binaryColumn("outcome", data.outcome);
  const names = Object.keys(data.measurements);
  if (names.length === 0) throw new DataError("measurements", "at least one", "none");
  const { knots: asked = 4, confidence } = options;
  const knots: Record<string, number[]> = {};
  for (const [name, values] of Object.entries(data.measurements)) {
    checkLength(`measurements.${name}`, values, outcome.length);
    const column = numberColumn(`measurements.${name}`, values);
    knots[name] = typeof asked === "number" ? splineKnots(column, asked) : asked[name] ?? [];
  }
  const columnsOf = (values: Record<string, Numbers>): Record<string, Numbers> => {
    const columns: Record<string, Numbers> = {};
    for (const name of names) {
      const given = values[name];
      if (!given) throw new DataError(name, "a column (the model uses it)", "nothing");
      splineBasis(given, knots[name] ?? []).forEach((column, k) => {
        columns[k === 0 ? name : `${name}'${k}`] = column;
      });
    }
    for (const name of Object.keys(data.linear ?? {})) {
      const given = values[name];
      if (!given) throw new DataError(name, "a column (the model uses it)", "nothing");
      columns[name] = given;
    }
    return columns;
  };
  const fit = logisticRegression({
    outcome,
    covariates: columnsOf({ ...data.measurements, ...data.linear }),
    ...(data.weight && { weight: data.weight }),
  }, confidence === undefined ? {} : { confidence });
  return { fit, knots, riskAt: (values) => fit.probabilityFor(columnsOf(values)) };
}
