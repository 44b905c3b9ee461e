import {
  checkConfidence,
  checkDataColumns,
  checkNumber,
  DataError,
  directionOf,
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
import { groupsAtHorizon, limitsBetween } from "./groups-at-horizon.ts";
import { limitQuantile } from "./incidence-limits.ts";

/** Cumulative incidence of two groups at one horizon, and what lies between them. */
export interface IncidenceContrast {
  /** The time asked about, in the unit given. */
  time: number;
  /** Such as "repair - replacement": which group is taken from (divided by) which. */
  direction: string;
  /**
   * In label order, with the rows that had the event by then. Limits log-log; where there are few
   * events, see {@link incidenceDifference}.
   */
  groups: (Interval & {
    group: string | number;
    atRisk: number;
    events: number;
    fewEvents: boolean;
  })[];
  /**
   * Limits plain, p value of no difference; where there are few events, from the groups' limits.
   */
  difference: Interval & { pValue: number };
  /** Along the same direction; standard error and limits formed on the log scale. */
  ratio: Interval & { pValue: number };
  /** Whether a group has fewer than twenty effective events by then. */
  fewEvents: boolean;
}

/**
 * Differences and ratios of cumulative incidence between two groups at fixed horizons.
 *
 * The second group, in label order, minus (over) the first, unless `reference` names the one that
 * is subtracted; `direction` says it. Independent groups: s1^2 + s2^2, the errors as in
 * `cumulativeIncidence`. With `cluster` the influences of rows on their group's estimate are added
 * within a cluster before they are squared, the second group's with a plus and the first's with a
 * minus, which carries the covariance of matched pairs.
 *
 * With fewer than twenty effective events in a group (its events, or under weights p^2(1 - p) /
 * s^2) a normal error is too small too often, and with none it is 0: in simulated cohorts its
 * limits held the truth in as few as 83 of 100, those described here in 92 or more. The groups'
 * limits are then exact where no event was seen, or where fewer than five were and no other cause
 * competes (the beta product procedure), and otherwise `limitsOfSome`; those of the difference are
 * put together from them, squared and added (with the correlation of pairs). The p value is the one
 * that goes with these limits, and `fewEvents` is true. `standardError` stays the normal one.
 *
 * The error of the ratio is that of its logarithm. The ratio is NaN, and its p value with it, where
 * either incidence is 0; all values are NaN at a horizon past a group's last observed time, unless
 * nobody in it was event-free by then.
 * Cost: O(n log n + n horizons).
 *
 * @example Recurrence by 1 and 5 years, pairs kept together
 * ```ts
 * import { incidenceDifference } from "mitral";
 * const time = [1, 2, 2.5, 3, 4, 5, 5.5, 6, 7, 8, 9, 10];
 * const event = [1, 0, 2, 1, 0, 1, 0, 2, 0, 1, 0, 0];
 * const group = [0, 1, 0, 1, 1, 0, 0, 1, 0, 1, 0, 1];
 * const pair = [1, 1, 2, 2, 3, 3, 4, 4, 5, 5, 6, 6];
 * incidenceDifference({ time, event, group, cluster: pair }, { cause: 1, times: [1, 5] });
 * ```
 * @throws {DataError} unless there are exactly two groups, or on a value out of range.
 * @see Zhang and Fine (2008) Biometrics 64:1077-1086 (summaries of two incidences at a time). Few
 * events: Fay, Brittain & Proschan (2013) Biostatistics 14:723-736; put together: Zou & Donner
 * (2008) Stat Med 27:1693-1702.
 */
export function incidenceDifference(
  data: FollowUp & { group: Labels; cluster?: Labels },
  options: { cause: number; times: Numbers; confidence?: number; reference?: string | number },
): IncidenceContrast[] {
  checkDataColumns("incidenceDifference", data, [...FOLLOW_UP, "group", "cluster"]);
  const confidence = checkConfidence(options.confidence);
  const z = limitQuantile(confidence);
  const cause = checkNumber(
    "cause",
    options.cause,
    (c) => Number.isInteger(c) && c > 0,
    "1, 2, ...",
  );
  const times = numberColumn("times", options.times, { min: 0 });
  const columns = followUpColumns(data, { causes: true });
  const { n } = columns;
  const group = groupColumn("group", data.group, n);
  if (group.labels.length !== 2) {
    throw new DataError("group", "two groups", `${group.labels.length}`);
  }
  const { from, to, direction } = directionOf(group.labels, options.reference);
  const cluster = data.cluster === undefined ? undefined : groupColumn("cluster", data.cluster, n);
  const at = groupsAtHorizon(columns, group, { cause, ...(cluster ? { cluster } : {}) });

  return Array.from(times, (time) => {
    const { groups, errorOf, correlationOf } = at(time);
    const [base, other] = [groups[from]!, groups[to]!];
    const known = !Number.isNaN(base.estimate) && !Number.isNaN(other.estimate);
    const error = (ofBase: number, ofOther: number) =>
      known ? errorOf(from === 0 ? [ofBase, ofOther] : [ofOther, ofBase]) : NaN;
    const difference = other.estimate - base.estimate;
    const differenceError = error(-1, 1);
    const ratio = base.estimate > 0 && other.estimate > 0 ? other.estimate / base.estimate : NaN;
    const ratioError = Number.isNaN(ratio) ? NaN : error(-1 / base.estimate, 1 / other.estimate);
    const fewEvents = groups.some(({ normal }) => !normal);
    const few = fewEvents && known
      ? limitsBetween(base, other, correlationOf(from, to))
      : undefined;
    return {
      time,
      direction,
      groups: groups.map(({ limits, normal, asCurve, ...value }) => {
        const [lower, upper] = (asCurve ?? limits)(confidence);
        return { ...value, lower, upper, fewEvents: !normal && asCurve === undefined };
      }),
      difference: {
        estimate: difference,
        standardError: differenceError,
        ...(few ? few.limits(confidence) : {
          lower: difference - z * differenceError,
          upper: difference + z * differenceError,
        }),
        get pValue() {
          return few ? few.pValue : twoSided(difference, differenceError);
        },
      },
      ratio: {
        estimate: ratio,
        standardError: ratioError,
        lower: ratio * Math.exp(-z * ratioError),
        upper: ratio * Math.exp(z * ratioError),
        pValue: twoSided(Math.log(ratio), ratioError),
      },
      fewEvents,
    };
  });
}

/** p value of a normal statistic; none where the error is 0, as between incidences of 0 and 1. */
function twoSided(value: number, standardError: number): number {
  return standardError > 0 ? distributions.normalTwoSided(value / standardError) : NaN;
}
