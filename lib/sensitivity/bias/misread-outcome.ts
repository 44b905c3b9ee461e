import { checkNumber, DataError, distributions, type Interval } from "../../numerics/mod.ts";

/** How well a test tells an outcome, between two values each. */
export interface ReadingAccuracy {
  /** 0 to 1. */
  sensitivity: readonly [least: number, most: number];
  /** 0 to 1. */
  specificity: readonly [least: number, most: number];
}

/** One group's proportion. */
export interface ReadProportion {
  /** The estimate. */
  estimate: number;
  /** Standard error of the estimate. */
  standardError: number;
}

/** What a difference of proportions might be, the outcome read without error. */
export interface CorrectedDifference {
  /** Difference as observed. */
  observed: number;
  /** Over all accuracies within their bounds, the outermost differences. */
  least: number;
  /** The greatest difference that the accuracies allow. */
  greatest: number;
  /** Outermost limits, chance included. */
  lower: number;
  /** Upper limit. */
  upper: number;
  /** Least and greatest corrected proportion of each group. */
  first: [least: number, greatest: number];
  /** Proportion of the second group. */
  second: [least: number, greatest: number];
}

const z95 = distributions.normalUpperQuantile(0.025);

/**
 * A difference between two groups of an outcome that is misread now and then, such as a grade of
 * regurgitation, corrected within bounds for the reading's sensitivity and specificity.
 *
 * Each proportion becomes (p + specificity - 1) / (sensitivity + specificity - 1), kept
 * within 0 and
 * 1. Accuracies are alike in both groups, or each group's is bounded by itself with `second`. The
 * difference is monotone in each accuracy where it stays within 0 and 1, so its ends lie at the
 * corners; sides are looked along as well, for where it does not. Errors grow by the same factor.
 * Limits are 95%, normal. For a cumulative incidence this takes a misreading to be of the patient
 * by that time, not of one echocardiogram among several.
 *
 * @param data.first The first group's; the difference is first minus second.
 * @example
 * ```ts
 * import { misreadOutcome } from "mitral";
 *
 * misreadOutcome({
 *   first: { estimate: 0.3, standardError: 0.03 },
 *   second: { estimate: 0.2, standardError: 0.03 },
 *   accuracy: { sensitivity: [0.8, 0.95], specificity: [0.9, 1] },
 * }).greatest; // the observed 0.1, at most 0.143
 * ```
 * @throws {DataError} where sensitivity and specificity do not add up to more than 1.
 * @see Rogan & Gladen (1978) Am J Epidemiol 107:71-76.
 */
export function misreadOutcome(data: {
  first: ReadProportion;
  second: ReadProportion;
  accuracy: ReadingAccuracy;
  /** The second group's accuracy, where it may differ from the first's. */
  secondAccuracy?: ReadingAccuracy;
}): CorrectedDifference {
  const first = checkProportion("first", data.first);
  const second = checkProportion("second", data.second);
  const corners = alongEdges("accuracy", data.accuracy);
  const others = data.secondAccuracy && alongEdges("secondAccuracy", data.secondAccuracy);
  const firsts = corners.map((corner) => corrected(first, corner));
  const seconds = (others ?? corners).map((corner) => corrected(second, corner));
  const pairs: [Corrected, Corrected][] = others
    ? firsts.flatMap((one) => seconds.map((other): [Corrected, Corrected] => [one, other]))
    : firsts.map((one, k): [Corrected, Corrected] => [one, seconds[k]!]);
  const differences = pairs.map(([one, other]) => {
    const estimate = one.estimate - other.estimate;
    const half = z95 * Math.hypot(one.standardError, other.standardError);
    return { estimate, lower: estimate - half, upper: estimate + half };
  });
  const ends = (values: number[]): [number, number] => [Math.min(...values), Math.max(...values)];
  const [least, greatest] = ends(differences.map(({ estimate }) => estimate));
  return {
    observed: first.estimate - second.estimate,
    least,
    greatest,
    lower: Math.max(-1, Math.min(...differences.map(({ lower }) => lower))),
    upper: Math.min(1, Math.max(...differences.map(({ upper }) => upper))),
    first: ends(firsts.map(({ estimate }) => estimate)),
    second: ends(seconds.map(({ estimate }) => estimate)),
  };
}

type Corrected = Pick<Interval, "estimate" | "standardError">;

function corrected(
  { estimate, standardError }: ReadProportion,
  { sensitivity, specificity }: { sensitivity: number; specificity: number },
): Corrected {
  const span = sensitivity + specificity - 1;
  const value = (estimate + specificity - 1) / span;
  return {
    estimate: Math.min(1, Math.max(0, value)),
    standardError: standardError / span,
  };
}

const STEPS = 20;

/** Pairs of accuracies along the edges of their bounds. */
function alongEdges(name: string, { sensitivity, specificity }: ReadingAccuracy) {
  for (const [what, bounds] of Object.entries({ sensitivity, specificity })) {
    const [least, most] = bounds;
    const share = (v: number) => v >= 0 && v <= 1;
    checkNumber(`${name}.${what}[0]`, least, share, "a share from 0 to 1");
    checkNumber(`${name}.${what}[1]`, most, (v) => share(v) && v >= least, `from ${least} to 1`);
  }
  if (!(sensitivity[0] + specificity[0] > 1)) {
    const found = sensitivity[0] + specificity[0];
    throw new DataError(name, "of sensitivity and specificity that add up to more than 1", found);
  }
  const along = ([least, most]: readonly [number, number]) =>
    Array.from({ length: STEPS + 1 }, (_, k) => least + (most - least) * k / STEPS);
  return [
    ...along(sensitivity).flatMap((own) =>
      specificity.map((other) => ({ sensitivity: own, specificity: other }))
    ),
    ...along(specificity).flatMap((own) =>
      sensitivity.map((other) => ({ sensitivity: other, specificity: own }))
    ),
  ];
}

function checkProportion(name: string, { estimate, standardError }: ReadProportion) {
  checkNumber(`${name}.estimate`, estimate, (v) => v >= 0 && v <= 1, "a share from 0 to 1");
  const finite = (v: number) => v >= 0 && v < Infinity;
  checkNumber(`${name}.standardError`, standardError, finite, "a finite number >= 0");
  return { estimate, standardError };
}
