import {
  checkConfidence,
  DataError,
  distributions,
  numberColumn,
  type Numbers,
  quadraticForm,
} from "../../numerics/mod.ts";
import { logistic, type LogisticFit, type PredictedMeans } from "../models/mod.ts";

/**
 * Risks that a logistic model predicts, with limits: normal on the log odds, by the robust
 * covariance where the model has one. `standardError` is that of the log odds.
 *
 * @throws {DataError} where a covariate of the model is missing.
 */
export function riskLimits(
  fit: LogisticFit,
  covariates: Record<string, Numbers>,
  options: { confidence?: number } = {},
): PredictedMeans {
  const z = distributions.normalUpperQuantile((1 - checkConfidence(options.confidence)) / 2);
  const covariance = fit.robustCovariance ?? fit.covariance;
  const length = Object.values(covariates)[0]?.length ?? 0;
  const columns = fit.terms.slice(1).map(({ name }) => {
    const values = covariates[name];
    if (!values) throw new DataError(`covariates.${name}`, "a column (the model uses it)");
    return numberColumn(`covariates.${name}`, values, { length });
  });
  const logOdds = new Float64Array(length);
  const standardError = new Float64Array(length);
  for (let i = 0; i < length; i++) {
    const row = [1, ...columns.map((column) => column[i]!)];
    row.forEach((x, j) => logOdds[i]! += x * fit.terms[j]!.coefficient);
    standardError[i] = Math.sqrt(quadraticForm(row, covariance));
  }
  return {
    estimate: logOdds.map(logistic),
    standardError,
    lower: logOdds.map((eta, i) => logistic(eta - z * standardError[i]!)),
    upper: logOdds.map((eta, i) => logistic(eta + z * standardError[i]!)),
  };
}
