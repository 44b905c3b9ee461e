import {
  checkChoice,
  checkConfidence,
  checkDataColumns,
  DataError,
  distributions,
  type Interval,
  type Test,
} from "../../numerics/mod.ts";
import { centreMean, momentVariance, restrictedVariance } from "./between-variance.ts";
import { centreColumns, type CentreEstimates } from "./centre-columns.ts";

/** One estimate from several centres, and how far they differ. */
export interface PooledCentres extends Interval {
  /** Two-sided p value. */
  pValue: number;
  /** Variance of the centres' true values. */
  tauSquared: number;
  /** Share of the spread that is not chance, max(0, (Q - (k - 1)) / Q). */
  iSquared: number;
  /** Whether one true value fits all centres (Cochran's Q). */
  heterogeneity: Test;
  /** Where the true value of one more centre is to be expected. */
  prediction: { lower: number; upper: number };
}

/**
 * Pools the estimates of several centres.
 *
 * Each centre has a true value of its own, normal about the pooled one with
 * variance tau^2 ("common":
 * tau is 0), and is weighted with 1 / (its variance + tau^2). tau^2 by restricted likelihood
 * ("reml") or by moments. Limits: Hartung and Knapp's, t with k - 1 degrees of freedom and the
 * standard error scaled by the spread that the centres show, which may fall below the normal ones
 * where centres happen to agree; or "normal". Prediction: t with k - 1 degrees of freedom on
 * sqrt(tau^2 + s^2).
 *
 * With fewer than about five centres tau is hardly known: look at the centres themselves.
 * Cost: O(k), a few hundred times with "reml".
 *
 * @example Log hazard ratios of three centres
 * ```ts
 * import { poolCentres } from "mitral";
 * poolCentres({ estimates: [-0.31, -0.02, -0.47], variances: [0.0256, 0.0484, 0.0729] }).estimate;
 * // -0.258
 * ```
 * @throws {DataError} on fewer than two centres or a variance not above 0, and on estimates that
 * are all the same with Hartung-Knapp limits, which would be a point.
 * @see DerSimonian & Laird (1986) Control Clin Trials 7:177-188; Hartung & Knapp (2001) Stat Med
 * 20:3875-3889; Viechtbauer (2005) J Educ Behav Stat 30:261-293; prediction: Higgins, Thompson &
 * Spiegelhalter (2009) JRSS A 172:137-159.
 */
export function poolCentres(
  data: CentreEstimates,
  options: {
    /** Default "reml". */
    method?: "common" | "reml" | "moments";
    /** Default "hartung-knapp". */
    limits?: "normal" | "hartung-knapp";
    confidence?: number;
  } = {},
): PooledCentres {
  checkDataColumns("poolCentres", data, ["estimates", "variances"]);
  const method = checkChoice("method", options.method ?? "reml", ["common", "reml", "moments"]);
  const limits = checkChoice("limits", options.limits ?? "hartung-knapp", [
    "normal",
    "hartung-knapp",
  ]);
  const tail = (1 - checkConfidence(options.confidence)) / 2;
  const { y, v } = centreColumns(data);
  const freedom = y.length - 1;
  const tauSquared = method === "common"
    ? 0
    : method === "reml"
    ? restrictedVariance(y, v)
    : momentVariance(y, v);
  const { mean, precision, spread } = centreMean(y, v, tauSquared);
  const scale = limits === "hartung-knapp" ? spread / freedom : 1;
  const standardError = Math.sqrt(scale / precision);
  // 0 too where they differ by so little that no number can hold the square of it
  const alike = y.every((value) => value === y[0]) || standardError === 0;
  if (limits === "hartung-knapp" && alike) {
    throw new DataError("estimates", 'not all the same (or limits "normal")', y[0]);
  }
  const student = distributions.studentUpperQuantile(tail, freedom);
  const statistic = mean / standardError;
  const normal = limits === "normal";
  const reach = standardError * (normal ? distributions.normalUpperQuantile(tail) : student);
  const beyond = student * Math.sqrt(tauSquared + standardError ** 2);
  const { spread: q } = centreMean(y, v, 0);
  return {
    estimate: mean,
    standardError,
    lower: mean - reach,
    upper: mean + reach,
    pValue: normal
      ? distributions.normalTwoSided(statistic)
      : distributions.studentTwoSided(statistic, freedom),
    tauSquared,
    iSquared: q > freedom ? (q - freedom) / q : 0,
    heterogeneity: {
      statistic: q,
      degreesOfFreedom: freedom,
      pValue: distributions.chiSquareUpper(q, freedom),
    },
    prediction: { lower: mean - beyond, upper: mean + beyond },
  };
}
