import {
  DataError,
  distributions,
  factorSymmetric,
  solveFactored,
  type Test,
} from "../../numerics/mod.ts";

/** What of a fitted model is needed: terms and their covariance, in one order. */
export interface TestableFit {
  /** Terms of the model, in the order of its covariance. */
  terms: readonly { name: string; coefficient: number }[];
  /** Of the coefficients, row-major. */
  covariance: Float64Array;
  /** Sandwich variance, where weights or clusters were given; row-major. */
  robustCovariance?: Float64Array;
}

/**
 * Wald test that several coefficients of a model are 0 together, such as all the terms of an
 * interaction with a spline.
 *
 * b' V^-1 b against chi-square, with the robust covariance where the fit has one. Covariates that
 * the fit left out (absent or NaN) count neither in the statistic nor in the degrees of freedom.
 * The covariance may have rows before those of the terms (the cuts of an ordinal model).
 *
 * @example
 * ```ts
 * import { jointTest, logisticRegression } from "mitral";
 * const fit = logisticRegression({
 *   outcome: [0, 1, 0, 1, 1, 0, 0, 1],
 *   covariates: { "repair x bend": [1, 2, 2, 3, 1, 2, 1, 3], "repair x tether": [4, 6, 5, 5, 4, 7, 6, 5] },
 * });
 * jointTest(fit, ["repair x bend", "repair x tether"]).pValue;
 * ```
 * @throws {DataError} if no name is a term of the model.
 * @see Wald (1943) Trans Am Math Soc 54:426-482.
 */
export function jointTest(fit: TestableFit, names: readonly string[]): Test {
  const matrix = fit.robustCovariance ?? fit.covariance;
  const size = Math.round(Math.sqrt(matrix.length));
  const before = size - fit.terms.length;
  const places = names.map((name) => fit.terms.findIndex((term) => term.name === name))
    .filter((j) => j >= 0 && Number.isFinite(fit.terms[j]!.coefficient));
  if (places.length === 0) throw new DataError("names", "terms of the model", names.join(", "));
  const p = places.length;
  const block = new Float64Array(p * p);
  places.forEach((j, a) =>
    places.forEach((k, b) => block[a * p + b] = matrix[(before + j) * size + before + k]!)
  );
  const coefficients = places.map((j) => fit.terms[j]!.coefficient);
  const factor = factorSymmetric(block, p);
  const solved = solveFactored(factor, coefficients);
  const statistic = coefficients.reduce((sum, b, a) => sum + b * solved[a]!, 0);
  const degreesOfFreedom = p - factor.dropped.length;
  return {
    statistic,
    degreesOfFreedom,
    pValue: degreesOfFreedom > 0 ? distributions.chiSquareUpper(statistic, degreesOfFreedom) : 1,
  };
}
