import {
  checkConfidence,
  checkNumber,
  DataError,
  distributions,
  numberColumn,
  type Numbers,
  quantileOfSorted,
  type Test,
} from "../../numerics/mod.ts";
import {
  jointTest,
  linearRegression,
  splineBasis,
  splineKnots,
} from "../../regression/models/mod.ts";
import { randomInterceptLogistic } from "../mixed/mod.ts";
import {
  type FittedModel,
  indicatorColumns,
  type OutcomeKind,
  standardizedPredictions,
} from "../predictions/mod.ts";
import {
  type LearningColumns,
  learningColumns,
  type LearningData,
  unitMeans,
} from "./learning-data.ts";

/** How an outcome goes with experience, other things held alike. */
export interface LearningCurve {
  /** Operations done before. */
  experience: Float64Array;
  /** Risk (or mean amount), were all operations done at that experience, by an average surgeon. */
  estimate: Float64Array;
  /** Lower limits. */
  lower: Float64Array;
  /** Upper limits. */
  upper: Float64Array;
  /** That the outcome does not go with experience at all. */
  test: Test;
  /** Places of the bends, in operations. */
  knots: number[];
  /** Rows. */
  n: number;
  /** Operations with the event; absent for an amount. */
  events?: number;
  /** Whether the search for the estimate came to its end. */
  converged: boolean;
  /** Why not, when `converged` is false. */
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
      ? indicatorColumns("unit", unit)
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
  const set = Object.fromEntries(
    splineBasis(at.map(Math.sqrt), knots).map((column, k) => [names[k]!, column]),
  );
  const curve = standardizedPredictions(model, design, set, { kind, z });
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

function defaultPoints(experience: Float64Array): Float64Array {
  const most = Math.max(1, quantileOfSorted(experience.toSorted(), 0.95));
  return Float64Array.from({ length: 60 }, (_, k) => most * k / 59);
}
