import { checkNumber, DataError, type Interval, quartilesOf } from "../../numerics/mod.ts";
import { type ChoiceInfluence, choiceInfluence } from "./choice-influence.ts";
import { checkDimensions, type Choices, type Dimension } from "./every-path.ts";

/** One way of making the comparison, and its answer. */
export interface Path extends Interval {
  /** What was chosen, by dimension. */
  choices: Choices;
}

/** A path that gave no answer. */
export interface FailedPath {
  /** What was chosen, by dimension. */
  choices: Choices;
  /** Why, as a sentence. */
  reason: string;
}

/** The same question answered in every defensible way. */
export interface SpecificationCurve {
  /** What can be chosen. */
  dimensions: readonly Dimension[];
  /** In ascending order of their estimates. */
  paths: (Path & { planned: boolean })[];
  /** The plan's own among `paths`; null where it gave no answer. */
  planned: number | null;
  /** Ways that gave no answer, and why. */
  failed: FailedPath[];
  /** Smallest estimate, quartiles and largest. */
  estimates: { lowest: number; lower: number; median: number; upper: number; highest: number };
  /** Shares of the paths, by their estimates and by their limits. */
  shares: {
    below: number;
    above: number;
    /** Limits all below, or all above, zero. */
    clearlyBelow: number;
    clearlyAbove: number;
    /** Estimates as far from zero as the smallest difference that matters, or further. */
    mattersBelow: number;
    mattersAbove: number;
    /** Limits that leave no room for a difference that matters. */
    noneMatters: number;
  };
  /** Smallest difference that would matter, as a proportion. */
  smallestDifference: number;
  /** In how many completed sets each path that imputes was worked out, where any does. */
  sets?: number;
  /** Which choice moves the answer most, first. */
  influence: ChoiceInfluence[];
}

/**
 * The answers of all paths in order, how many lie on each side of zero and of the smallest
 * difference that matters, and which choice moves them most.
 *
 * Paths share their patients, so their shares are no probabilities and many agreeing paths are no
 * more evidence than one: what they show is whether the answer hangs on a choice.
 *
 * @param data.planned The choices of the plan.
 * @example
 * ```ts ignore
 * import { specificationCurve } from "mitral";
 * specificationCurve({ dimensions, paths, planned }, { smallestDifference: 0.05 }).shares.above;
 * ```
 * @throws {DataError} on no path, a choice that is no option, or a path that is there twice.
 * @see Simonsohn, Simmons & Nelson (2020) Nat Hum Behav 4:1208-1214.
 */
export function specificationCurve(
  data: {
    dimensions: readonly Dimension[];
    paths: readonly Path[];
    planned: Choices;
    failed?: readonly FailedPath[];
  },
  options: { smallestDifference: number },
): SpecificationCurve {
  const { dimensions, paths, planned, failed = [] } = data;
  checkDimensions(dimensions);
  const smallest = checkNumber(
    "smallestDifference",
    options.smallestDifference,
    (value) => value > 0 && value < Infinity,
    "a number > 0",
  );
  if (paths.length === 0) throw new DataError("paths", "at least one", "none");
  const seen = new Set<string>();
  const keyOf = (choices: Choices) => dimensions.map(({ id }) => choices[id]).join(" ");
  paths.forEach(({ choices, estimate, lower, upper }, k) => {
    for (const { id, options: own } of dimensions) {
      if (own.some((option) => option.id === choices[id])) continue;
      const expected = `one of ${own.map((option) => option.id).join(", ")}`;
      throw new DataError(`paths.choices.${id}`, expected, choices[id], k);
    }
    if (!(lower <= estimate && estimate <= upper)) {
      throw new DataError("paths.estimate", "within its limits", estimate, k);
    }
    if (seen.has(keyOf(choices))) {
      throw new DataError("paths", "there once each", keyOf(choices), k);
    }
    seen.add(keyOf(choices));
  });
  const own = keyOf(planned);
  const sorted = paths.map((path) => ({ ...path, planned: keyOf(path.choices) === own }))
    .sort((a, b) => a.estimate - b.estimate);
  const place = sorted.findIndex((path) => path.planned);
  const share = (holds: (path: Path) => boolean) => paths.filter(holds).length / paths.length;
  const estimates = sorted.map(({ estimate }) => estimate);
  return {
    dimensions,
    paths: sorted,
    planned: place < 0 ? null : place,
    failed: [...failed],
    estimates: {
      lowest: estimates[0]!,
      ...quartilesOf(estimates),
      highest: estimates.at(-1)!,
    },
    shares: {
      below: share(({ estimate }) => estimate < 0),
      above: share(({ estimate }) => estimate > 0),
      clearlyBelow: share(({ upper }) => upper < 0),
      clearlyAbove: share(({ lower }) => lower > 0),
      mattersBelow: share(({ estimate }) => estimate <= -smallest),
      mattersAbove: share(({ estimate }) => estimate >= smallest),
      noneMatters: share(({ lower, upper }) => lower > -smallest && upper < smallest),
    },
    smallestDifference: smallest,
    influence: choiceInfluence(dimensions, paths),
  };
}
