import {
  checkConfidence,
  checkNumber,
  DataError,
  distributions,
  numberColumn,
  type Numbers,
  quadraticForm,
  quantileOfSorted,
  type Test,
} from "../../numerics/mod.ts";
import { jointTest, linearRegression, splineBasis, splineKnots } from "../../regression/mod.ts";
import { randomInterceptLogistic } from "../mixed/mod.ts";
import {
  type LearningColumns,
  learningColumns,
  type LearningData,
  type OutcomeKind,
  unitIndicators,
  unitMeans,
} from "./learning-data.ts";

/** How an outcome goes with experience, other things held alike. */
export interface LearningCurve {
  /** Operations done before. */
  experience: Float64Array;
  /** Risk (or mean amount), were all operations done at that experience, by an average surgeon. */
  estimate: Float64Array;
  lower: Float64Array;
  upper: Float64Array;
  /** That the outcome does not go with experience at all. */
  test: Test;
  /** Places of the bends, in operations. */
  knots: number[];
  n: number;
  /** Operations with the event; absent for an amount. */
  events?: number;
  converged: boolean;
  reason?: string;
}

/** Columns of a fitted model, its coefficients and their covariance. */
interface FittedModel {
  terms: { name: string; coefficient: number }[];
  covariance: Float64Array;
  converged: boolean;
  reason?: string;
}

/**
 * Learning curve: how an outcome changes with the number of operations a surgeon has done, within
 * surgeons.
 *
 * The square root of experience enters as a restricted cubic spline. Surgeons differ by a random
 * intercept, and the mean experience of each is a term of its own, so that the curve is of changes
 * within surgeons, not of differences between beginners and others (Neuhaus and Kalbfleisch 1998,
 * Biometrics 54:638). For an amount, each surgeon has an indicator, and errors are robust. Give
 * calendar year and volume as covariates to hold them apart from experience. The curve is
 * standardised: the mean prediction with experience set alike for all operations. Limits are
 * pointwise. Cost: that of `randomInterceptLogistic`, and O(n p) a point.
 *
 * @example
 * ```ts ignore
 * import { learningCurve } from "mitral";
 *
 * const { experience, estimate } = learningCurve({
 *   outcome: converted, unit: surgeon, experience: done, covariates: { complexity, year },
 * });
 * ```
 * @param options.kind "event", or "amount".
 * @param options.knots Number of knots, 4.
 * @param options.at Experience at which the curve is wanted: default 60 points up to the 95th
 * percentile.
 * @param options.confidence 0.95.
 * @throws {DataError}
 */
export function learningCurve(
  data: LearningData,
  options: { kind?: OutcomeKind; knots?: number; at?: Numbers; confidence?: number } = {},
): LearningCurve {
  const confidence = checkConfidence(options.confidence);
  const columns = learningColumns(data, options, "learningCurve");
  const { kind, outcome, unit, experience, covariates } = columns;
  const count = checkNumber(
    "knots",
    options.knots ?? 4,
    (k) => Number.isInteger(k) && k >= 3 && k <= 7,
    "a whole number from 3 to 7",
  );
  const at = options.at === undefined
    ? defaultPoints(experience)
    : numberColumn("at", options.at, { min: 0 });
  const root = experience.map(Math.sqrt);
  const knots = splineKnots(root, count);
  const bends = splineBasis(root, knots);
  const names = bends.map((_, k) => `experience'${k}`);
  const between = unitMeans(root, unit);
  const varies = between.some((mean) => mean !== between[0]);
  const design: Record<string, Numbers> = {
    ...covariates,
    ...(kind === "amount"
      ? unitIndicators(unit)
      : varies
      ? { "experience of the surgeon": between }
      : {}),
    ...Object.fromEntries(names.map((name, k) => [name, bends[k]!])),
  };
  for (const name of Object.keys(covariates)) {
    if (names.includes(name)) throw new DataError("covariates", "named otherwise", name);
  }
  const model = fitted(columns, design);
  const z = distributions.normalUpperQuantile((1 - confidence) / 2);
  const basisAt = splineBasis(at.map(Math.sqrt), knots);
  const curve = standardized(model, design, { names, basisAt, kind, z });
  return {
    experience: at,
    ...curve,
    test: jointTest(model, names),
    knots: knots.map((knot) => knot * knot),
    n: outcome.length,
    ...(kind === "event" && { events: outcome.reduce((sum, y) => sum + y, 0) }),
    converged: model.converged,
    ...(model.reason !== undefined && { reason: model.reason }),
  };
}

function fitted(columns: LearningColumns, covariates: Record<string, Numbers>): FittedModel {
  const { kind, outcome, unit: { codes } } = columns;
  if (kind === "amount") {
    const { terms, covariance } = linearRegression({ outcome, covariates });
    return { terms, covariance, converged: true };
  }
  const fit = randomInterceptLogistic({ outcome, unit: codes, covariates });
  return {
    terms: fit.terms.map(({ name, estimate }) => ({ name, coefficient: estimate })),
    covariance: fit.covariance,
    converged: fit.converged,
    ...(fit.reason !== undefined && { reason: fit.reason }),
  };
}

/** Mean prediction over all rows with the experience's columns set alike, with limits. */
function standardized(
  model: FittedModel,
  design: Record<string, Numbers>,
  { names, basisAt, kind, z }: {
    names: string[];
    basisAt: Float64Array[];
    kind: OutcomeKind;
    z: number;
  },
): Pick<LearningCurve, "estimate" | "lower" | "upper"> {
  const { terms, covariance } = model;
  const learned = terms.map(({ name }) => names.indexOf(name));
  const columns = terms.map(({ name }, j) => j > 0 && learned[j]! < 0 ? design[name]! : undefined);
  const n = Object.values(design)[0]!.length;
  const others = new Float64Array(n).fill(terms[0]!.coefficient);
  columns.forEach((column, j) => {
    if (!column) return;
    for (let i = 0; i < n; i++) others[i]! += terms[j]!.coefficient * column[i]!;
  });
  const points = basisAt[0]!.length;
  const result = {
    estimate: new Float64Array(points),
    lower: new Float64Array(points),
    upper: new Float64Array(points),
  };
  const gradient = new Float64Array(terms.length);
  for (let k = 0; k < points; k++) {
    let shift = 0;
    learned.forEach((c, j) => shift += c < 0 ? 0 : terms[j]!.coefficient * basisAt[c]![k]!);
    gradient.fill(0);
    let mean = 0;
    let slopes = 0;
    for (let i = 0; i < n; i++) {
      const eta = others[i]! + shift;
      const value = kind === "event" ? 1 / (1 + Math.exp(-eta)) : eta;
      const slope = kind === "event" ? value * (1 - value) : 1;
      mean += value / n;
      slopes += slope / n;
      columns.forEach((column, j) => {
        if (column) gradient[j]! += slope * column[i]! / n;
      });
    }
    gradient[0] = slopes;
    learned.forEach((c, j) => {
      if (c >= 0) gradient[j] = slopes * basisAt[c]![k]!;
    });
    const error = Math.sqrt(Math.max(0, quadraticForm(gradient, covariance)));
    result.estimate[k] = mean;
    if (kind === "amount") {
      result.lower[k] = mean - z * error;
      result.upper[k] = mean + z * error;
    } else {
      // on the log odds, so that limits stay within 0 and 1
      const logOdds = Math.log(mean / (1 - mean));
      const reach = z * error / (mean * (1 - mean));
      result.lower[k] = 1 / (1 + Math.exp(-(logOdds - reach)));
      result.upper[k] = 1 / (1 + Math.exp(-(logOdds + reach)));
    }
  }
  return result;
}

function defaultPoints(experience: Float64Array): Float64Array {
  const most = Math.max(1, quantileOfSorted(experience.toSorted(), 0.95));
  return Float64Array.from({ length: 60 }, (_, k) => most * k / 59);
}
