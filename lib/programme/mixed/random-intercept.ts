import {
  binaryColumn,
  checkConfidence,
  checkNumber,
  DataError,
  distributions,
  groupColumn,
  type Interval,
  type Labels,
  numberColumn,
  type Numbers,
  type Test,
} from "../../numerics/mod.ts";
import { logisticRegression } from "../../regression/models/mod.ts";
import { baseOf, climbMixed } from "./climb.ts";
import { normalQuadrature } from "./gauss-hermite.ts";
import type { MixedRows } from "./posterior.ts";
import { spreadLimits } from "./spread-limits.ts";

/** What {@link randomInterceptLogistic} needs. */
export interface RandomInterceptData {
  /** 0 or 1, both present. */
  outcome: Numbers;
  /** Which unit (surgeon) each row belongs to; at least two. */
  unit: Labels;
  /** Named columns, each finite; may be left out. */
  covariates?: Record<string, Numbers>;
  /** Log odds known beforehand, added with coefficient 1. */
  offset?: Numbers;
}

/** One coefficient, given the unit. */
export interface MixedTerm extends Interval {
  name: string;
  oddsRatio: number;
  pValue: number;
}

/** One unit. */
export interface UnitEffect {
  unit: string | number;
  n: number;
  events: number;
  /** Log odds apart from the average unit: drawn towards 0, more so the fewer its rows. */
  effect: Interval;
}

/** A fitted logistic regression with a random intercept for each unit. */
export interface RandomInterceptFit {
  n: number;
  events: number;
  /** "(constant)" first; estimates are log odds of a row in an average unit. */
  terms: MixedTerm[];
  /** Standard deviation of the units' log odds. */
  spread: number;
  /** Its limits by profile likelihood. Costs some forty fits. */
  spreadLimits(): { lower: number; upper: number };
  /** Median of the odds ratio between two units drawn at random, the higher over the lower. */
  medianOddsRatio: number;
  /** Share of the variation in log odds that lies between units: variance / (variance + pi^2/3). */
  betweenShare: number;
  /** Likelihood-ratio test of no variation; half its weight lies on 0 (Self and Liang 1987). */
  variation: Test;
  units: UnitEffect[];
  /** Log odds of every row in an average unit. */
  linearPredictor: Float64Array;
  logLikelihood: number;
  converged: boolean;
  reason?: string;
  /** Covariates left out: constant, or linear combinations of earlier ones. */
  dropped: string[];
}

/**
 * Logistic regression with a normal random intercept for each unit, by maximum likelihood.
 *
 * log odds = constant + covariates + b of the unit, b normal with mean 0. Each unit's integral over
 * b by adaptive Gauss-Hermite quadrature, Newton's method on the whole. The units' effects are means
 * of their distribution given the data and the fitted parameters (empirical Bayes); their limits
 * take those parameters as known, so with few units they are somewhat too narrow. A spread that the
 * data put at 0 is reported as 0: no variation beyond chance was seen, not that there is none.
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
  const confidence = checkConfidence(options.confidence);
  const nodes = checkNumber(
    "nodes",
    options.nodes ?? 15,
    (k) => Number.isInteger(k) && k >= 3 && k <= 60,
    "a whole number from 3 to 60",
  );
  const outcome = binaryColumn("outcome", data.outcome);
  const n = outcome.length;
  const { codes, labels } = groupColumn("unit", data.unit, n);
  if (labels.length < 2) throw new DataError("unit", "at least two units", labels[0]);
  const offset = data.offset && numberColumn("offset", data.offset, { length: n });
  const events = outcome.reduce((sum, y) => sum + y, 0);
  if (events === 0 || events === n) {
    throw new DataError("outcome", "0 in some rows and 1 in others", outcome[0], 0);
  }

  const { names, columns, dropped, separated, start } = startingPoint(data, outcome);
  const { rows, order, scale, centre } = sortedRows({ outcome, codes, columns, offset }, labels);
  const quadrature = normalQuadrature(nodes);
  const p = columns.length + 2;
  const scaledStart = new Float64Array(p);
  scaledStart[0] = start[0]!;
  columns.forEach((_, j) => {
    scaledStart[0]! += start[j + 1]! * centre[j]!;
    scaledStart[j + 1] = start[j + 1]! / scale[j]!;
  });
  const none = climbMixed(rows, scaledStart, quadrature, { fixSpread: true });
  const from = none.parameters.slice();
  from[p - 1] = 0.5;
  const free = climbMixed(rows, from, quadrature);
  const varies = free.logLikelihood > none.logLikelihood + 1e-9 * n &&
    Math.abs(free.parameters[p - 1]!) > 1e-5;
  const best = varies ? free : none;
  const spread = varies ? Math.abs(free.parameters[p - 1]!) : 0;
  const sign = varies ? Math.sign(free.parameters[p - 1]!) : 1;

  const z = distributions.normalUpperQuantile((1 - confidence) / 2);
  const size = varies ? p : p - 1;
  const gain = varies ? 2 * (free.logLikelihood - none.logLikelihood) : 0;
  const base = baseOf(rows, best.parameters);
  const linearPredictor = new Float64Array(n);
  order.forEach((row, k) => linearPredictor[row] = base[k]!);
  const converged = best.converged && separated.length === 0;
  return {
    n,
    events,
    terms: ["(constant)", ...names].map((name, j) => {
      const back = new Float64Array(size);
      if (j === 0) back[0] = 1;
      else back[j] = scale[j - 1]!;
      if (j === 0) columns.forEach((_, c) => back[c + 1] = -centre[c]! * scale[c]!);
      return termOf(name, back, best, size, z);
    }),
    spread,
    spreadLimits: () => spreadLimits(rows, best, spread, quadrature, confidence),
    medianOddsRatio: Math.exp(Math.SQRT2 * spread * distributions.normalQuantile(0.75)),
    betweenShare: spread ** 2 / (spread ** 2 + Math.PI ** 2 / 3),
    variation: {
      statistic: gain,
      degreesOfFreedom: 1,
      pValue: gain > 0 ? distributions.chiSquareUpper(gain, 1) / 2 : 1,
    },
    units: rows.units.map(({ first, end }, s) => {
      const { mean, sd } = best.posteriors[s]!;
      const estimate = sign * spread * mean;
      const standardError = spread * sd;
      let count = 0;
      for (let i = first; i < end; i++) count += rows.outcome[i]!;
      const [lower, upper] = [estimate - z * standardError, estimate + z * standardError];
      const effect = { estimate, standardError, lower, upper };
      return { unit: labels[s]!, n: end - first, events: count, effect };
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

function termOf(
  name: string,
  back: Float64Array,
  { parameters, inverse }: { parameters: Float64Array; inverse: Float64Array },
  size: number,
  z: number,
): MixedTerm {
  let estimate = 0;
  let variance = 0;
  for (let a = 0; a < size; a++) {
    estimate += back[a]! * parameters[a]!;
    for (let b = 0; b < size; b++) variance += back[a]! * back[b]! * inverse[a * size + b]!;
  }
  const standardError = Math.sqrt(variance);
  return {
    name,
    estimate,
    standardError,
    lower: estimate - z * standardError,
    upper: estimate + z * standardError,
    oddsRatio: Math.exp(estimate),
    pValue: distributions.normalTwoSided(estimate / standardError),
  };
}

/** Covariates that can be told apart, and coefficients without units to start from. */
function startingPoint(data: RandomInterceptData, outcome: Uint8Array): {
  names: string[];
  columns: Float64Array[];
  dropped: string[];
  separated: string[];
  start: number[];
} {
  const n = outcome.length;
  const given = data.covariates ?? {};
  if (Object.keys(given).length === 0) {
    const share = outcome.reduce((sum, y) => sum + y, 0) / n;
    const start = [Math.log(share / (1 - share))];
    return { names: [], columns: [], dropped: [], separated: [], start };
  }
  const fit = logisticRegression({ outcome, covariates: given });
  const names = fit.terms.slice(1).map(({ name }) => name);
  const { dropped, separated } = fit;
  const start = fit.terms.map(({ coefficient }) => fit.converged ? coefficient : 0);
  return {
    names,
    columns: names.map((name) => Float64Array.from(given[name]!)),
    dropped,
    separated,
    start,
  };
}

function sortedRows(
  given: {
    outcome: Uint8Array;
    codes: Int32Array;
    columns: Float64Array[];
    offset: Float64Array | undefined;
  },
  labels: (string | number)[],
): { rows: MixedRows; order: Uint32Array; centre: number[]; scale: number[] } {
  const { outcome, codes, columns, offset } = given;
  const n = outcome.length;
  const count = new Int32Array(labels.length + 1);
  for (const code of codes) count[code + 1]!++;
  for (let s = 0; s < labels.length; s++) count[s + 1]! += count[s]!;
  const units = labels.map((_, s) => ({ first: count[s]!, end: count[s + 1]! }));
  const order = new Uint32Array(n);
  const next = units.map(({ first }) => first);
  codes.forEach((code, i) => order[next[code]!++] = i);
  const centre: number[] = [];
  const scale: number[] = [];
  const sorted = columns.map((column) => {
    const mean = column.reduce((sum, x) => sum + x, 0) / n;
    const spread = Math.sqrt(column.reduce((sum, x) => sum + (x - mean) ** 2, 0) / n);
    centre.push(mean);
    scale.push(1 / spread);
    return Float64Array.from(order, (row) => (column[row]! - mean) / spread);
  });
  const rows = {
    n,
    columns: sorted,
    outcome: Uint8Array.from(order, (row) => outcome[row]!),
    offset: Float64Array.from(order, (row) => offset ? offset[row]! : 0),
    units,
  };
  return { rows, order, centre, scale };
}
