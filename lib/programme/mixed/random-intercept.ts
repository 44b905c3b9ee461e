import {
  checkConfidence,
  checkDataColumns,
  checkNumber,
  distributions,
  type Interval,
  type Test,
} from "../../numerics/mod.ts";
import { baseOf, climbMixed, type MixedClimb } from "./climb.ts";
import { normalQuadrature } from "./gauss-hermite.ts";
import type { UnitRows } from "./posterior.ts";
import { mixedRows, type RandomInterceptData } from "./rows.ts";
import { spreadLimits } from "./spread-limits.ts";

/** One coefficient, given the unit. */
export interface MixedTerm extends Interval {
  /** Name as the data have it. */
  name: string;
  /** exp(coefficient). */
  oddsRatio: number;
  /** Two-sided p value. */
  pValue: number;
}

/** One unit. */
export interface UnitEffect {
  /** Label of the unit, such as a surgeon. */
  unit: string | number;
  /** Rows. */
  n: number;
  /** Rows with the event, not weighted. */
  events: number;
  /** Log odds apart from the average unit: drawn towards 0, more so the fewer its rows. */
  effect: Interval;
}

/** A fitted logistic regression with a random intercept for each unit. */
export interface RandomInterceptFit {
  /** Rows. */
  n: number;
  /** Rows with the event, not weighted. */
  events: number;
  /** "(constant)" first; estimates are log odds of a row in an average unit. */
  terms: MixedTerm[];
  /** Of the coefficients of `terms`, row-major. */
  covariance: Float64Array;
  /** Standard deviation of the units' log odds. */
  spread: number;
  /**
   * Its limits by profile likelihood; `adjusted`, with few units, for the terms having been fitted
   * to them (its estimate is then the peak of the adjusted profile). Costs some forty
   * fits, or sixty.
   */
  spreadLimits(o?: { adjusted?: boolean }): { estimate: number; lower: number; upper: number };
  /** Median of the odds ratio between two units drawn at random, the higher over the lower. */
  medianOddsRatio: number;
  /** Share of the variation in log odds that lies between units: variance / (variance + pi^2/3). */
  betweenShare: number;
  /** Likelihood-ratio test of no variation; half its weight lies on 0 (Self and Liang 1987). */
  variation: Test;
  /** One a unit. */
  units: UnitEffect[];
  /** Log odds of every row in an average unit. */
  linearPredictor: Float64Array;
  /** At the estimate. */
  logLikelihood: number;
  /** Whether the search for the estimate came to its end. */
  converged: boolean;
  /** Why not, when `converged` is false. */
  reason?: string;
  /** Covariates left out: constant, or linear combinations of earlier ones. */
  dropped: string[];
}

/**
 * Logistic regression with a normal random intercept for each unit, by maximum likelihood.
 *
 * log odds = constant + covariates + b of the unit, b normal with mean 0. Each unit's integral over
 * b by adaptive Gauss-Hermite quadrature, Newton's method on the whole. The units' effects are
 * means of their distribution given the data and the fitted parameters (empirical Bayes); their
 * limits take those parameters as known, so with few units they are somewhat too narrow. A spread
 * that the data put at 0 is reported as 0: no variation beyond chance was seen, not that
 * there is none.
 * Of more than 20,000 rows without covariates, those of one unit and outcome whose offsets lie in
 * one hundredth of log odds are taken together, which moves no chance by 1e-6. A unit with 300
 * events, and as many rows without, is given 7 nodes: 15 change its part of the log-likelihood by
 * less than 1e-6.
 * Cost: O(n nodes p^2) an iteration, usually 6 to 12.
 *
 * @example
 * ```ts
 * import { randomInterceptLogistic } from "mitral";
 *
 * const unit = ["A", "A", "A", "A", "B", "B", "B", "B", "C", "C", "C", "C"];
 * const outcome = [1, 1, 1, 0, 0, 0, 0, 1, 1, 0, 1, 0];
 * randomInterceptLogistic({ outcome, unit }).units[0]?.effect.estimate; // A, above 0
 * ```
 * @param options.nodes Quadrature nodes, 15.
 * @param options.confidence Level of the limits, 0.95.
 * @throws {DataError}
 * @see Liu & Pierce (1994) Biometrika 81:624-629; median odds ratio: Larsen & Merlo (2005) Am J
 * Epidemiol 161:81-88.
 */
export function randomInterceptLogistic(
  data: RandomInterceptData,
  options: { nodes?: number; confidence?: number } = {},
): RandomInterceptFit {
  const taken = ["outcome", "unit", "covariates", "offset"];
  checkDataColumns("randomInterceptLogistic", data, taken);
  const confidence = checkConfidence(options.confidence);
  const nodes = checkNumber(
    "nodes",
    options.nodes ?? 15,
    (k) => Number.isInteger(k) && k >= 3 && k <= 60,
    "a whole number from 3 to 60",
  );
  const { rows, order, labels, names, back, dropped, separated, start } = mixedRows(data);
  const n = order.length;
  const countOf = ({ first, end }: UnitRows, code?: number) => {
    let sum = 0;
    for (let i = first; i < end; i++) {
      if (code === undefined || rows.outcome[i] === code) sum += rows.count[i]!;
    }
    return sum;
  };
  const events = countOf({ first: 0, end: rows.n }, 1);
  const quadrature = normalQuadrature(nodes);
  const p = start.length;
  const none = climbMixed(rows, start, quadrature, { fixSpread: true });
  const from = none.parameters.slice();
  from[p - 1] = 0.5;
  const free = climbMixed(rows, from, quadrature);
  const varies = free.logLikelihood > none.logLikelihood + 1e-9 * n &&
    Math.abs(free.parameters[p - 1]!) > 1e-5;
  const best = varies ? free : none;
  const spread = varies ? Math.abs(free.parameters[p - 1]!) : 0;
  const sign = varies ? Math.sign(free.parameters[p - 1]!) : 1;

  const z = distributions.normalUpperQuantile((1 - confidence) / 2);
  const { coefficients, covariance } = backToUnits(best, back, varies ? p : p - 1);
  const gain = varies ? 2 * (free.logLikelihood - none.logLikelihood) : 0;
  const linearPredictor = new Float64Array(n);
  const base = rows.n === n ? baseOf(rows, best.parameters) : undefined;
  if (base) order.forEach((row, k) => linearPredictor[row] = base[k]!);
  else {
    for (let row = 0; row < n; row++) {
      linearPredictor[row] = (data.offset?.[row] ?? 0) + best.parameters[0]!;
    }
  }
  const converged = best.converged && separated.length === 0;
  return {
    n,
    events,
    terms: ["(constant)", ...names].map((name, j): MixedTerm => {
      const estimate = coefficients[j]!;
      const standardError = Math.sqrt(covariance[j * (p - 1) + j]!);
      return {
        name,
        estimate,
        standardError,
        lower: estimate - z * standardError,
        upper: estimate + z * standardError,
        oddsRatio: Math.exp(estimate),
        pValue: distributions.normalTwoSided(estimate / standardError),
      };
    }),
    covariance,
    spread,
    spreadLimits: ({ adjusted = false } = {}) =>
      spreadLimits(rows, best, spread, quadrature, { confidence, adjusted }),
    medianOddsRatio: Math.exp(Math.SQRT2 * spread * distributions.normalQuantile(0.75)),
    betweenShare: spread ** 2 / (spread ** 2 + Math.PI ** 2 / 3),
    variation: {
      statistic: gain,
      degreesOfFreedom: 1,
      pValue: gain > 0 ? distributions.chiSquareUpper(gain, 1) / 2 : 1,
    },
    units: rows.units.map((unit, s) => {
      const { mean, sd } = best.posteriors[s]!;
      const estimate = sign * spread * mean;
      const standardError = spread * sd;
      const [lower, upper] = [estimate - z * standardError, estimate + z * standardError];
      const effect = { estimate, standardError, lower, upper };
      return { unit: labels[s]!, n: countOf(unit), events: countOf(unit, 1), effect };
    }),
    linearPredictor,
    logLikelihood: best.logLikelihood,
    converged,
    ...(converged ? {} : {
      reason: separated.length > 0
        ? `${separated.join(", ")} tell some outcomes apart without error`
        : `no convergence in ${best.iterations} iterations`,
    }),
    dropped,
  };
}

/** Coefficients and covariance for the columns as given; back is p - 1 square. */
function backToUnits(
  { parameters, inverse }: MixedClimb,
  back: Float64Array,
  size: number,
): { coefficients: Float64Array; covariance: Float64Array } {
  const q = Math.round(Math.sqrt(back.length));
  const coefficients = new Float64Array(q);
  const covariance = new Float64Array(q * q);
  for (let j = 0; j < q; j++) {
    for (let a = 0; a < q; a++) {
      coefficients[j]! += back[j * q + a]! * parameters[a]!;
      for (let k = 0; k < q; k++) {
        for (let b = 0; b < q; b++) {
          covariance[j * q + k]! += back[j * q + a]! * inverse[a * size + b]! * back[k * q + b]!;
        }
      }
    }
  }
  return { coefficients, covariance };
}
