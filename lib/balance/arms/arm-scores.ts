import {
  checkDataColumns,
  covariateColumns,
  type Labels,
  type Numbers,
} from "../../numerics/mod.ts";
import { fitMultinomial } from "../../regression/models/mod.ts";
import { armColumn } from "./arm-labels.ts";

/** Chance of every arm for every row, and the model it came from. */
export interface ArmScores {
  /** Sorted as text; the first is the model's reference. */
  arms: (string | number)[];
  /** One column an arm, in that order; the values of a row sum to 1. */
  score: Float64Array[];
  /** Arm but the first, then "(constant)" or covariate: log odds of the arm against the first. */
  coefficients: Record<string, Record<string, number>>;
  /** Of the coefficients: arm, then term. */
  standardErrors: Record<string, Record<string, number>>;
  /** At the estimate. */
  logLikelihood: number;
  /** Whether the search for the estimate came to its end. */
  converged: boolean;
  /** Why it did not converge. */
  reason?: string;
  /** Covariates whose coefficients run off to infinity: together they tell some arms apart. */
  separated: string[];
  /** Covariates left out: constant, or linear combinations of earlier ones. */
  dropped: string[];
  /** Steps that the search took. */
  iterations: number;
}

/**
 * Scores of several arms: the chance of each arm given covariates known before treatment, by
 * multinomial logistic regression.
 *
 * log(e_j / e_1) = constant_j + sum of coefficient_j * covariate, e_1 the chance of the first arm.
 * Chances do not depend on which arm is the first. With two arms they are those of
 * `propensityScore`. Look at `converged`, `separated` and `dropped` before using them.
 *
 * Cost: O(n (arms covariates)^2 / 4) an iteration, usually 5 to 8.
 *
 * @example
 * ```ts
 * import { armScores, armWeights } from "mitral";
 * const technique = ["ring", "band", "replacement", "ring", "band", "replacement",
 *   "ring", "band", "replacement", "ring", "band", "replacement"];
 * const age = [61, 72, 70, 55, 68, 75, 64, 71, 58, 66, 73, 60];
 * const lvef = [60, 48, 55, 61, 44, 52, 58, 40, 63, 57, 49, 62];
 * const tether = [4, 9, 12, 5, 11, 8, 3, 13, 6, 10, 7, 14];
 * const scores = armScores({ arm: technique, covariates: { age, lvef, tether } });
 * const weight = armWeights({ arm: technique, scores }, { estimand: "overlap" });
 * ```
 * @throws {DataError} with fewer than two arms, or on values that are not finite.
 * @see Imbens (2000) Biometrika 87:706-710; Li & Li (2019) Ann Appl Stat 13:2389-2415.
 */
export function armScores(
  data: { arm: Labels; covariates: Record<string, Numbers> },
): ArmScores {
  checkDataColumns("armScores", data, ["arm", "covariates"]);
  const { codes, labels } = armColumn(data.arm);
  const { names, columns } = covariateColumns(data.covariates, codes.length);
  const fit = fitMultinomial({ arm: codes, arms: labels.length, columns });
  const terms = ["(constant)", ...fit.kept.map((j) => names[j]!)];
  const named = (values: Float64Array[]) =>
    Object.fromEntries(values.map((own, a) => [
      String(labels[a + 1]),
      Object.fromEntries(terms.map((term, j) => [term, own[j]!])),
    ]));
  return {
    arms: labels,
    score: fit.score,
    coefficients: named(fit.coefficients),
    standardErrors: named(fit.standardErrors),
    logLikelihood: fit.logLikelihood,
    converged: fit.reason === undefined,
    ...(fit.reason === undefined ? {} : { reason: fit.reason }),
    separated: fit.separated.map((j) => names[j]!),
    dropped: names.filter((_, j) => !fit.kept.includes(j)),
    iterations: fit.iterations,
  };
}
