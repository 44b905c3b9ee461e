import {
  checkConfidence,
  checkDataColumns,
  checkNumber,
  DataError,
  distributions,
  FOLLOW_UP,
  type FollowUp,
  followUpColumns,
  groupColumn,
  type Interval,
  type Labels,
  numberColumn,
  type Numbers,
} from "../../numerics/mod.ts";
import { type GroupsAtHorizon, groupsAtHorizon, limitsBetween } from "../incidence/mod.ts";
import { type Simultaneous, simultaneousLimits, tailsOf } from "./simultaneous.ts";

/** What lies between two of several arms. */
export interface ArmPairDifference extends Interval {
  /** Such as "ring - replacement". */
  direction: string;
  /** The arm that is subtracted. */
  from: string | number;
  /** The arm that it is subtracted from. */
  to: string | number;
  /** Two-sided p value. */
  pValue: number;
  /** Limits and p value that hold for all pairs at once. */
  simultaneous: { lower: number; upper: number; pValue: number };
  /** Whether one of the two has fewer than twenty effective events by then. */
  fewEvents: boolean;
}

/** Several arms at one horizon, and all that lies between them. */
export interface ArmContrast {
  /** Years after operation. */
  time: number;
  /** The reference first where there is one, then sorted as text. */
  arms: (Interval & {
    arm: string | number;
    atRisk: number;
    events: number;
    fewEvents: boolean;
  })[];
  /** Every pair, the later arm minus the earlier. */
  differences: ArmPairDifference[];
  /** Standard errors that simultaneous limits reach, where there are enough events. */
  critical: number;
}

/** Follow-up of two to several arms. */
export type ArmFollowUp = FollowUp & { arm: Labels; cluster?: Labels };

/** Options of the differences between arms. */
export interface ArmOptions {
  /** Horizons, in the unit of time given. */
  times: Numbers;
  /** Default 0.95. */
  confidence?: number;
  /** The arm that comes first and is subtracted from the others. */
  reference?: string | number;
  /** Of the draws behind simultaneous limits, default 1. */
  seed?: number;
  /**
   * One fewer than there are clusters, where they are few: limits and p values are then by
   * Student's t, and errors are larger by sqrt(clusters / (clusters - 1)), since those of few
   * clusters are too small (Cameron and Miller 2015). Default Infinity: normal.
   */
  degreesOfFreedom?: number;
}

/**
 * Cumulative incidence in each of several arms at fixed horizons, all pairwise differences, and
 * limits that hold for all of them at once.
 *
 * Estimates, errors and limits of one pair are those of `incidenceDifference`, weights taken as
 * known and clusters kept together. Simultaneous limits are wider: with three arms about 2.34
 * standard errors in place of 1.96, with four about 2.57; they are found from the joint normal
 * distribution of the differences. Where one of a pair has fewer than twenty effective events, its
 * limits are put together from those of both arms, at the level that goes with that width. They
 * hold at one horizon: several horizons are several families.
 *
 * NaN at a horizon past an arm's last observed time. Cost: O(n log n + n horizons), and a
 * hundred thousand draws a horizon.
 *
 * @example Three techniques, weighted to their overlap
 * ```ts
 * import { armIncidenceDifferences } from "mitral";
 * const time = [1, 2, 2.5, 3, 4, 5, 5.5, 6, 7, 8, 9, 10];
 * const event = [1, 0, 2, 1, 0, 1, 0, 2, 0, 1, 0, 0];
 * const arm = ["ring", "band", "replacement", "ring", "band", "replacement",
 *   "ring", "band", "replacement", "ring", "band", "replacement"];
 * const weight = [1, 2, 1, 1, 2, 1, 1, 1, 2, 1, 1, 1];
 * armIncidenceDifferences({ time, event, arm, weight }, { cause: 1, times: [5] });
 * ```
 * @throws {DataError} with fewer than two arms, on a reference that is none, or a value
 * out of range.
 * @see Hothorn, Bretz & Westfall (2008) Biom J 50:346-363 (simultaneous limits); Li & Li (2019) Ann
 * Appl Stat 13:2389-2415 (pairwise contrasts of weighted arms); Cameron & Miller (2015) J Hum
 * Resour 50:317-372 (few clusters).
 */
export function armIncidenceDifferences(
  data: ArmFollowUp,
  options: ArmOptions & { cause: number },
): ArmContrast[] {
  checkDataColumns("armIncidenceDifferences", data, [...FOLLOW_UP, "arm", "cluster"]);
  const whole = (c: number) => Number.isInteger(c) && c > 0;
  const cause = checkNumber("cause", options.cause, whole, "1, 2, ...");
  return contrastsOf(data, cause, options);
}

/**
 * Kaplan-Meier survival in each of several arms at fixed horizons, all pairwise differences, and
 * limits that hold for all of them at once; see {@link armIncidenceDifferences}.
 *
 * With one kind of event survival is one minus incidence, and errors are the same.
 *
 * @example
 * ```ts
 * import { armSurvivalDifferences } from "mitral";
 * const time = [1, 2, 2.5, 3, 4, 5, 5.5, 6, 7, 8, 9, 10];
 * const event = [1, 0, 1, 1, 0, 1, 0, 1, 0, 1, 0, 0];
 * const arm = ["ring", "band", "replacement", "ring", "band", "replacement",
 *   "ring", "band", "replacement", "ring", "band", "replacement"];
 * const weight = [1, 2, 1, 1, 2, 1, 1, 1, 2, 1, 1, 1];
 * armSurvivalDifferences({ time, event, arm, weight }, { times: [1, 5], reference: "ring" });
 * ```
 * @throws {DataError} on a second cause, and as {@link armIncidenceDifferences}.
 */
export function armSurvivalDifferences(data: ArmFollowUp, options: ArmOptions): ArmContrast[] {
  checkDataColumns("armSurvivalDifferences", data, [...FOLLOW_UP, "arm", "cluster"]);
  followUpColumns(data); // a second cause is refused here, with the message of a survival endpoint
  return contrastsOf(data, 1, options).map(({ arms, differences, ...rest }) => ({
    ...rest,
    arms: arms.map((arm) => ({ ...arm, ...mirrored(arm), estimate: 1 - arm.estimate })),
    differences: differences.map((pair) => ({
      ...pair,
      estimate: -pair.estimate,
      lower: -pair.upper,
      upper: -pair.lower,
      simultaneous: {
        ...pair.simultaneous,
        lower: -pair.simultaneous.upper,
        upper: -pair.simultaneous.lower,
      },
    })),
  }));
}

function mirrored({ lower, upper }: { lower: number; upper: number }) {
  return { lower: 1 - upper, upper: 1 - lower };
}

function contrastsOf(data: ArmFollowUp, cause: number, options: ArmOptions): ArmContrast[] {
  const confidence = checkConfidence(options.confidence);
  const { seed = 1, reference } = options;
  const degreesOfFreedom = checkNumber(
    "degreesOfFreedom",
    options.degreesOfFreedom ?? Infinity,
    (df) => df === Infinity || (Number.isInteger(df) && df > 0),
    "1, 2, ... or Infinity",
  );
  const tails = tailsOf(degreesOfFreedom);
  const wider = degreesOfFreedom === Infinity ? 1 : Math.sqrt(1 + 1 / degreesOfFreedom);
  // the level at which normal limits reach as far
  const level = 1 - distributions.normalTwoSided(wider * tails.reach(confidence));
  const times = numberColumn("times", options.times, { min: 0 });
  const columns = followUpColumns(data, { causes: true });
  const arm = groupColumn("arm", data.arm, columns.n);
  const cluster = data.cluster === undefined
    ? undefined
    : groupColumn("cluster", data.cluster, columns.n);
  const order = armOrder(arm.labels, reference);
  const at = groupsAtHorizon(columns, arm, { cause, ...(cluster ? { cluster } : {}) });
  const pairs = order.flatMap((from, i) => order.slice(i + 1).map((to) => ({ from, to })));
  return Array.from(times, (time): ArmContrast => {
    const found = at(time);
    const known = found.groups.every(({ estimate }) => !Number.isNaN(estimate));
    const together = known
      ? simultaneousLimits(
        covarianceOf(found),
        pairs.map((pair) => coefficients(pair, order.length)),
        { confidence, seed, degreesOfFreedom },
      )
      : { critical: NaN, adjust: () => NaN };
    return {
      time,
      arms: order.map((place) => {
        const { group, limits, normal, asCurve: _, ...value } = found.groups[place]!;
        const [lower, upper] = limits(level);
        const standardError = wider * value.standardError;
        return { arm: group, ...value, standardError, lower, upper, fewEvents: !normal };
      }),
      differences: pairs.map((pair) =>
        differenceOf(found, pair, { together, tails, wider, level, confidence })
      ),
      critical: together.critical,
    };
  });
}

/** Places of the arms: the reference, then the others sorted as text. */
function armOrder(
  labels: readonly (string | number)[],
  reference: string | number | undefined,
): number[] {
  if (labels.length < 2) throw new DataError("arm", "two arms or more", labels.length);
  if (reference !== undefined && !labels.includes(reference)) {
    throw new DataError("reference", `one of ${labels.join(", ")}`, reference);
  }
  return labels.map((_, place) => place).sort((a, b) => {
    if (labels[a] === reference || labels[b] === reference) return labels[a] === reference ? -1 : 1;
    return String(labels[a]) < String(labels[b]) ? -1 : 1;
  });
}

interface Pair {
  from: number;
  to: number;
}

function coefficients({ from, to }: Pair, arms: number): number[] {
  return Array.from({ length: arms }, (_, place) => place === to ? 1 : place === from ? -1 : 0);
}

function covarianceOf({ groups, correlationOf }: GroupsAtHorizon): Float64Array {
  const p = groups.length;
  const covariance = new Float64Array(p * p);
  for (let i = 0; i < p; i++) {
    for (let j = 0; j < p; j++) {
      const correlation = i === j ? 1 : correlationOf(i, j);
      covariance[i * p + j] = correlation * groups[i]!.standardError * groups[j]!.standardError;
    }
  }
  return covariance;
}

function differenceOf(
  { groups, errorOf, correlationOf }: GroupsAtHorizon,
  pair: Pair,
  { together, tails, wider, level, confidence }: {
    together: Simultaneous;
    tails: ReturnType<typeof tailsOf>;
    /** By how much errors are larger than as estimated. */
    wider: number;
    level: number;
    confidence: number;
  },
): ArmPairDifference {
  const [base, other] = [groups[pair.from]!, groups[pair.to]!];
  const estimate = other.estimate - base.estimate;
  const known = !Number.isNaN(estimate);
  const standardError = known ? wider * errorOf(coefficients(pair, groups.length)) : NaN;
  const fewEvents = !base.normal || !other.normal;
  const plain = (reach: number) => ({
    lower: estimate - reach * standardError,
    upper: estimate + reach * standardError,
  });
  const named = {
    direction: `${other.group} - ${base.group}`,
    from: base.group,
    to: other.group,
    estimate,
    standardError,
    fewEvents,
  };
  if (fewEvents && known) {
    const few = limitsBetween(base, other, correlationOf(pair.from, pair.to));
    const wide = 1 - distributions.normalTwoSided(wider * together.critical);
    const statistic = distributions.normalUpperQuantile(few.pValue / 2) / wider;
    const own = few.limits(level);
    const all = few.limits(wide);
    return {
      ...named,
      ...own,
      pValue: tails.twoSided(statistic),
      // limits of few events need not widen on both sides as the level rises
      simultaneous: {
        lower: Math.min(own.lower, all.lower),
        upper: Math.max(own.upper, all.upper),
        pValue: together.adjust(statistic),
      },
    };
  }
  const statistic = standardError > 0 ? estimate / standardError : NaN;
  return {
    ...named,
    ...plain(tails.reach(confidence)),
    pValue: Number.isNaN(statistic) ? NaN : tails.twoSided(statistic),
    simultaneous: { ...plain(together.critical), pValue: together.adjust(statistic) },
  };
}
