import {
  checkConfidence,
  checkDataColumns,
  checkNumber,
  DataError,
  directionOf,
  distributions,
  dot,
  groupColumn,
  type Interval,
  type Labels,
  turned,
} from "../../numerics/mod.ts";
import { limitQuantile, limitsBetween } from "../incidence/mod.ts";
import { stateInfluence } from "./state-influence.ts";
import { expectedIn, occupation, settled } from "./state-occupation.ts";
import { stateTable } from "./state-table.ts";
import { type StateTimeAt, stateTimeLimits } from "./state-time-limits.ts";
import type { TransitionRows } from "./transition-rows.ts";

/** Expected time in one state within the horizon, in two groups. */
export interface StateTimeContrast {
  /** Label of the state. */
  state: string | number;
  /** Such as "repair - replacement": which group is taken from which. */
  direction: string;
  /** In label order. */
  groups: (Interval & { group: string | number })[];
  /** Along the direction. */
  difference: Interval & { pValue: number };
}

/**
 * Difference between two groups in the expected time in each state within a horizon: second label
 * minus first in sorted order, unless `reference` names the group that is subtracted.
 *
 * In the unit of time; a year of the first five is one year fewer in some other state, so the
 * differences add up to 0. Errors from the influence of each subject, or of each cluster (matched
 * pair), which carries the covariance within pairs. Limits of the groups as in `stateTimeLimits`;
 * those of the difference plain, but put together from the groups' where either has few events.
 * `group` and `cluster` have one
 * value a row and must not change within a subject.
 * Cost as `stateOccupation` with one time.
 *
 * @throws {DataError} unless there are exactly two groups, a subject is in one of them, and the
 * horizon lies within the follow-up of both.
 * @see `stateOccupation`.
 */
export function expectedTimeDifference(
  data: TransitionRows & { group: Labels; cluster?: Labels },
  options: { horizon: number; states?: Labels; confidence?: number; reference?: string | number },
): StateTimeContrast[] {
  checkDataColumns("expectedTimeDifference", data, [
    "subject",
    "from",
    "to",
    "entry",
    "time",
    "weight",
    "group",
    "cluster",
  ]);
  const confidence = checkConfidence(options.confidence);
  const n = data.time.length;
  const group = groupColumn("group", data.group, n);
  if (group.labels.length !== 2) {
    throw new DataError("group", "two groups", `${group.labels.length}`);
  }
  const { direction, sign } = directionOf(group.labels, options.reference);
  const whole = stateTable(data, options.states);
  const { states } = whole;
  const cluster = data.cluster && groupColumn("cluster", data.cluster, n);
  const groupOf = perSubject("group", whole, group.codes);
  const unitOf = cluster ? perSubject("cluster", whole, cluster.codes) : undefined;
  const units = cluster ? cluster.labels.length : whole.subjects;
  const arms = group.labels.map((label, code) => {
    const rows = Array.from({ length: n }, (_, i) => i).filter((i) => group.codes[i] === code);
    const pick = <T>(values: ArrayLike<T>) => rows.map((row) => values[row]!);
    const table = stateTable({
      subject: rows.map((row) => whole.subject[row]!),
      from: pick(data.from),
      to: pick(data.to),
      entry: pick(data.entry),
      time: pick(data.time),
      ...(data.weight && { weight: pick(data.weight) }),
    }, states);
    const probability = occupation(table);
    checkNumber(
      "horizon",
      options.horizon,
      (h) => h > table.start && (h <= table.end || settled(table, probability)),
      `above ${table.start} and at most ${table.end}, where group ${label} is last observed`,
    );
    // subjects of the arm are coded in ascending order of their codes in the whole
    const members = groupOf.flatMap((of, subject) => of === code ? [subject] : []);
    const influence = stateInfluence(table, probability, options.horizon, "time");
    const limitsAt = stateTimeLimits(table.follow, options.horizon - table.start);
    return { label, table, probability, members, influence, limitsAt };
  });
  return states.map((state, k) => {
    const sums = arms.map(({ members, influence }) => {
      const sum = new Float64Array(units);
      members.forEach((subject, place) => {
        sum[unitOf ? unitOf[subject]! : subject]! += influence[place * states.length + k]!;
      });
      return sum;
    });
    const [base, other] = arms.map(({ table, probability, limitsAt }, side) =>
      limitsAt({
        estimate: expectedIn(table, probability, k, options.horizon),
        standardError: Math.sqrt(dot(sums[side]!, sums[side]!)),
      })
    ) as [StateTimeAt, StateTimeAt];
    return {
      state,
      direction,
      groups: [base, other].map(({ estimate, standardError, limits }, side) => {
        const [lower, upper] = limits(confidence);
        return { group: arms[side]!.label, estimate, standardError, lower, upper };
      }),
      difference: turned(differenceOf(base, other, dot(sums[0]!, sums[1]!), confidence), sign),
    };
  });
}

/** The second minus the first, from their limits where either has few events. */
function differenceOf(
  base: StateTimeAt,
  other: StateTimeAt,
  covariance: number,
  confidence: number,
): StateTimeContrast["difference"] {
  const errors = base.standardError * other.standardError;
  const estimate = other.estimate - base.estimate;
  const standardError = Math.sqrt(
    Math.max(0, base.standardError ** 2 + other.standardError ** 2 - 2 * covariance),
  );
  const error = { estimate, standardError };
  if (!base.normal || !other.normal) {
    const { limits, pValue } = limitsBetween(base, other, errors > 0 ? covariance / errors : 0);
    return { ...error, ...limits(confidence), pValue };
  }
  const reach = limitQuantile(confidence) * standardError;
  return {
    ...error,
    lower: estimate - reach,
    upper: estimate + reach,
    pValue: standardError > 0 ? distributions.normalTwoSided(estimate / standardError) : NaN,
  };
}

/** One code a subject. @throws {DataError} where a subject's rows disagree. */
function perSubject(
  name: string,
  { subject, subjects, follow }: { subject: Int32Array; subjects: number; follow: { n: number } },
  codes: Int32Array,
): number[] {
  const of: number[] = Array(subjects).fill(-1);
  for (let i = 0; i < follow.n; i++) {
    const known = of[subject[i]!]!;
    if (known >= 0 && known !== codes[i]) {
      throw new DataError(name, "the same on all rows of a subject", codes[i], i);
    }
    of[subject[i]!] = codes[i]!;
  }
  return of;
}
