import { checkConfidence, checkWhole, DataError, distributions } from "../../numerics/mod.ts";
import type { OutcomeKind } from "../predictions/mod.ts";
import { learningColumns, type LearningData } from "./learning-data.ts";
import { plateauLimits } from "./plateau-limits.ts";
import { learningProfile } from "./profile.ts";
import { searchedTest } from "./searched-test.ts";

/** When learning is over, as far as the data can tell. */
export interface LearningPlateau {
  /** Whether learning is seen at all: the test's p value is below 1 - confidence. */
  seen: boolean;
  /**
   * That the outcome is the same at all experience; allows for the plateau having been looked for.
   */
  test: { statistic: number; pValue: number };
  /**
   * Operations after which results no longer change, where learning is seen. A lower limit of 0 or
   * an upper of Infinity means that the data do not bound it on that side.
   */
  cases?: { estimate: number; lower: number; upper: number };
  /**
   * What the first operation adds, in log odds (or in the amount's unit), at the likeliest number
   * of cases; limits take that number as known.
   */
  beginner: { estimate: number; lower: number; upper: number };
  /** What learning adds to the log-likelihood at each number of cases looked at, less the most. */
  profile: { cases: Float64Array; logLikelihood: Float64Array };
  /** Largest experience in the data: no plateau beyond it can be seen. */
  longest: number;
}

/**
 * How many operations it takes to reach the plateau of a learning curve, or that there is
 * none to see.
 *
 * The model: what a surgeon's first operation adds falls in a straight line to nothing at a number
 * of cases, the same for all, and stays there. Every number of cases before which a tenth of the
 * operations lie is tried, with the other terms fitted anew each time, so no series is split at its
 * own peak; the likeliest is that at which learning within surgeons adds most to the likelihood.
 * Surgeons, experience between surgeons and covariates enter as in `learningCurve`. The number
 * depends on the shape assumed:
 * of a curve that flattens slowly, it marks the bend.
 *
 * Neither the test nor the limits rest on a chi-square distribution, which having
 * searched takes away:
 * the test sets the best score against outcomes drawn as if nothing were learnt, and the limits are
 * of numbers at which the profile is no lower than in outcomes drawn as if they were true. Of more
 * than 20,000 operations scores are drawn in place of outcomes, normal as sums of so many are.
 * Cost: two fits a number of cases, and O(draws n points); of many O(n points^2).
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
 * @param options.draws How many outcomes are drawn for the test, and for the limits, 999.
 * @param options.seed Of these, 1.
 * @throws {DataError}
 * @see Hansen (1996) Econometrica 64:413-430, (2017) J Bus Econ Stat 35:228-240 for a kink at an
 * unknown place; Seber & Wild (1989) Nonlinear Regression, ch. 9, for the profile.
 */
export function learningPlateau(
  data: LearningData,
  options: {
    kind?: OutcomeKind;
    points?: number;
    confidence?: number;
    draws?: number;
    seed?: number;
  } = {},
): LearningPlateau {
  const confidence = checkConfidence(options.confidence);
  const points = checkWhole("points", options.points ?? 40, 10);
  const chance = {
    draws: checkWhole("draws", options.draws ?? 999, 99),
    seed: options.seed ?? 1,
  };
  const columns = learningColumns(data, options, "learningPlateau");
  const cases = candidates(columns.experience, points);
  const fitted = learningProfile(columns, cases);
  const profile = fitted.points;
  const best = profile.reduce((most, one) => one.gain > most.gain ? one : most);
  const test = searchedTest(fitted, columns, chance);
  const seen = test.pValue < 1 - confidence;
  const z = distributions.normalUpperQuantile((1 - confidence) / 2);
  return {
    seen,
    test,
    ...(seen && { cases: plateauLimits(fitted, columns, { ...chance, confidence }) }),
    beginner: {
      estimate: best.effect,
      lower: best.effect - z * best.standardError,
      upper: best.effect + z * best.standardError,
    },
    profile: {
      cases,
      logLikelihood: Float64Array.from(profile, (one) => (one.gain - best.gain) / 2),
    },
    longest: cases[cases.length - 1]!,
  };
}

// A bend before which fewer operations lie rests on too few for its likelihood to be told from
// chance (by simulation: see test/calibration).
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
