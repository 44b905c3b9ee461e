import { checkConfidence, checkNumber, DataError, distributions } from "../../numerics/mod.ts";
import type { OutcomeKind } from "../predictions/mod.ts";
import { learningColumns, type LearningData } from "./learning-data.ts";
import { learningProfile, type ProfilePoint } from "./profile.ts";
import { searchedTest } from "./searched-test.ts";

/** When learning is over, as far as the data can tell. */
export interface LearningPlateau {
  /** Whether learning is seen at all: the test's p value is below 1 - confidence. */
  seen: boolean;
  /** That the outcome is the same at all experience; allows for the plateau having been looked for. */
  test: { statistic: number; pValue: number };
  /**
   * Operations after which results no longer change, where learning is seen. A lower limit of 0 or an
   * upper of Infinity means that the data do not bound it on that side.
   */
  cases?: { estimate: number; lower: number; upper: number };
  /**
   * What the first operation adds, in log odds (or in the amount's unit), at the likeliest number of
   * cases; limits take that number as known.
   */
  beginner: { estimate: number; lower: number; upper: number };
  /** Log-likelihood at each number of cases looked at, less the highest. */
  profile: { cases: Float64Array; logLikelihood: Float64Array };
  /** Largest experience in the data: no plateau beyond it can be seen. */
  longest: number;
}

/**
 * How many operations it takes to reach the plateau of a learning curve, or that there is none to see.
 *
 * The model: what a surgeon's first operation adds falls in a straight line to nothing at a number of
 * cases, the same for all, and stays there. Every number of cases before which a tenth of the operations lie is tried, with the other terms
 * fitted anew each time, so no series is split at its own peak; limits are those within which the
 * profile of the likelihood is not lowered by more than half the chi-square quantile. Surgeons,
 * experience between surgeons and covariates enter as in `learningCurve`. The number depends on the
 * shape assumed: of a curve that flattens slowly, it marks the bend. The test bounds the chance of so
 * good a fit at any number of cases from above (Worsley 1982). Cost: one fit a number of cases, 40.
 *
 * @example
 * ```ts ignore
 * import { learningPlateau } from "mitral";
 *
 * learningPlateau({ outcome: converted, unit: surgeon, experience: done }).cases?.upper;
 * ```
 * @param options.kind "event", or "amount".
 * @param options.points How many numbers of cases are tried, 40.
 * @param options.confidence 0.95.
 * @throws {DataError}
 * @see Worsley (1982) Biometrika 69:297-302; profile likelihood of a bend: Seber & Wild (1989)
 * Nonlinear Regression, ch. 9.
 */
export function learningPlateau(
  data: LearningData,
  options: { kind?: OutcomeKind; points?: number; confidence?: number } = {},
): LearningPlateau {
  const confidence = checkConfidence(options.confidence);
  const points = checkNumber(
    "points",
    options.points ?? 40,
    (k) => Number.isInteger(k) && k >= 10,
    "a whole number >= 10",
  );
  const columns = learningColumns(data, options, "learningPlateau");
  const cases = candidates(columns.experience, points);
  const fitted = learningProfile(columns, cases);
  const profile = fitted.points;
  const best = profile.reduce((most, one) => one.logLikelihood > most.logLikelihood ? one : most);
  const test = searchedTest(fitted, columns);
  const seen = test.pValue < 1 - confidence;
  const z = distributions.normalUpperQuantile((1 - confidence) / 2);
  const allowed = distributions.chiSquareUpperQuantile(1 - confidence, 1) / 2;
  return {
    seen,
    test,
    ...(seen && { cases: limitsOf(profile, best, allowed) }),
    beginner: {
      estimate: best.effect,
      lower: best.effect - z * best.standardError,
      upper: best.effect + z * best.standardError,
    },
    profile: {
      cases,
      logLikelihood: Float64Array.from(profile, (one) => one.logLikelihood - best.logLikelihood),
    },
    longest: cases[cases.length - 1]!,
  };
}

// A bend before which fewer operations lie rests on too few for its likelihood to be told from chance
// (by simulation: see test/calibration).
const leastBefore = 0.1;

/** Numbers of cases to try: from where a tenth of the operations lie below, in even ratios. */
function candidates(experience: Float64Array, points: number): Float64Array {
  const sorted = experience.toSorted();
  const least = Math.max(5, (sorted[Math.ceil(leastBefore * sorted.length)] ?? 0) + 1);
  const most = sorted[sorted.length - 1] ?? 0;
  if (!(most > 2 * least)) {
    throw new DataError("experience", `up to more than ${2 * least} operations`, most);
  }
  return Float64Array.from(
    { length: points },
    (_, k) => least * (most / least) ** (k / (points - 1)),
  );
}

function limitsOf(
  profile: ProfilePoint[],
  best: ProfilePoint,
  allowed: number,
): { estimate: number; lower: number; upper: number } {
  const inside = (k: number) => best.logLikelihood - profile[k]!.logLikelihood <= allowed;
  const first = profile.findIndex((_, k) => inside(k));
  const last = profile.findLastIndex((_, k) => inside(k));
  /** Between a place inside and its neighbour outside, straight in the likelihood. */
  const edge = (k: number, outside: number) => {
    const a = best.logLikelihood - profile[k]!.logLikelihood;
    const b = best.logLikelihood - profile[outside]!.logLikelihood;
    const share = (allowed - a) / (b - a);
    return profile[k]!.cases * (profile[outside]!.cases / profile[k]!.cases) ** share;
  };
  return {
    estimate: best.cases,
    lower: first === 0 ? 0 : edge(first, first - 1),
    upper: last === profile.length - 1 ? Infinity : edge(last, last + 1),
  };
}
