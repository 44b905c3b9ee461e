import { binaryColumn, checkDataColumns, type Numbers } from "../../numerics/mod.ts";
import { groupWeights } from "../alike/mod.ts";
import { type LogisticFit, logisticRegression } from "../../regression/models/mod.ts";

/** A propensity score and the model it came from. */
export interface Propensity {
  /** Probability of treatment given the covariates, strictly between 0 and 1. */
  score: Float64Array;
  /** Its logit, the scale to match on. */
  linearPredictor: Float64Array;
  /** Look at `converged`, `separated` and `dropped` before using the score. */
  fit: LogisticFit;
}

/**
 * Propensity score: the probability of treatment given covariates known before it, by logistic
 * regression.
 *
 * Covariates must be confounders, never consequences of treatment. Forms (splines, categories) are
 * up to the caller. A high c-statistic is no goal: it means the groups overlap little.
 *
 * @example
 * ```ts
 * import { matchPairs, propensityScore } from "mitral";
 * const treated = [0, 1, 0, 1, 1, 0, 0, 1, 0, 1, 0, 1];
 * const age = [61, 72, 70, 55, 68, 75, 64, 71, 58, 66, 73, 60];
 * const lvef = [60, 48, 55, 61, 44, 52, 58, 40, 63, 57, 49, 62];
 * const { linearPredictor } = propensityScore({ treated, covariates: { age, lvef } });
 * const { pairs } = matchPairs({ treated, score: linearPredictor });
 * ```
 * @throws {DataError} on values that are not finite, or if a group is empty.
 * @see Rosenbaum & Rubin (1983) Biometrika 70:41-55.
 */
export function propensityScore(
  data: {
    /** 0 or 1. */
    treated: Numbers;
    covariates: Record<string, Numbers>;
  },
  options: Parameters<typeof logisticRegression>[1] = {},
): Propensity {
  checkDataColumns("propensityScore", data, ["treated", "covariates"]);
  const treated = binaryColumn("treated", data.treated);
  groupWeights(treated); // both groups must be there
  const fit = logisticRegression({ outcome: treated, covariates: data.covariates }, options);
  const { fitted } = fit;
  const isPossible = fitted.every((probability) => probability === possible(probability));
  return {
    score: isPossible ? fitted : fitted.map(possible),
    linearPredictor: fit.linearPredictor,
    fit,
  };
}

/**
 * Past a linear predictor of 37 a probability below 1 rounds to 1: the last one before it stands.
 */
function possible(probability: number): number {
  return Math.min(1 - Number.EPSILON, Math.max(Number.EPSILON, probability));
}
