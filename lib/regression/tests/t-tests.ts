import {
  checkConfidence,
  DataError,
  directionOf,
  distributions,
  type Interval,
  momentsOf,
  numberColumn,
  type Numbers,
  type Test,
} from "../../numerics/mod.ts";

/** A difference of means with its t test. */
export type MeanDifference = Interval & Test & {
  /** "a - b", or "b - a" where the reference is a. */
  direction: string;
};

/**
 * Difference of two means, a minus b (b minus a where `reference` is "a"), with Welch's t test:
 * variances may differ, degrees of freedom by Satterthwaite.
 *
 * @example
 * ```ts
 * import { welchTest } from "mitral";
 * welchTest([4, 5, 6], [1, 2, 3]).estimate; // 3
 * ```
 * @throws {DataError} with fewer than two values, or if all are the same.
 * @see Welch (1947) Biometrika 34:28-35.
 */
export function welchTest(
  a: Numbers,
  b: Numbers,
  options: { confidence?: number; reference?: "a" | "b" } = {},
): MeanDifference {
  const first = momentsOf(sampleOf("a", a));
  const second = momentsOf(sampleOf("b", b));
  const u = first.variance / first.n;
  const v = second.variance / second.n;
  if (!(u + v > 0)) throw new DataError("a", "not constant where b is constant too", a[0], 0);
  const degreesOfFreedom = (u + v) ** 2 / (u ** 2 / (first.n - 1) + v ** 2 / (second.n - 1));
  return difference(first.mean - second.mean, Math.sqrt(u + v), degreesOfFreedom, options);
}

/**
 * Mean of paired differences, a minus b (b minus a where `reference` is "a"), with the
 * paired t test.
 *
 * @throws {DataError} on columns of unlike length, fewer than two pairs, or differences all alike.
 * @see Student (1908) Biometrika 6:1-25.
 */
export function pairedTest(
  a: Numbers,
  b: Numbers,
  options: { confidence?: number; reference?: "a" | "b" } = {},
): MeanDifference {
  const first = sampleOf("a", a);
  const second = numberColumn("b", b, { length: first.length });
  const { n, mean, variance } = momentsOf(first.map((value, i) => value - second[i]!));
  if (!(variance > 0)) throw new DataError("b", "not at a constant distance from a", b[0], 0);
  return difference(mean, Math.sqrt(variance / n), n - 1, options);
}

function sampleOf(name: string, values: Numbers): Float64Array {
  const column = numberColumn(name, values);
  if (column.length < 2) throw new DataError(name, "at least two values", values);
  return column;
}

function difference(
  aMinusB: number,
  standardError: number,
  degreesOfFreedom: number,
  options: { confidence?: number; reference?: "a" | "b" },
): MeanDifference {
  const { direction, sign } = directionOf(["b", "a"], options.reference);
  const estimate = sign * aMinusB;
  const tail = (1 - checkConfidence(options.confidence)) / 2;
  const reach = distributions.studentUpperQuantile(tail, degreesOfFreedom) * standardError;
  const statistic = estimate / standardError;
  return {
    direction,
    estimate,
    standardError,
    lower: estimate - reach,
    upper: estimate + reach,
    statistic,
    degreesOfFreedom,
    pValue: distributions.studentTwoSided(statistic, degreesOfFreedom),
  };
}
