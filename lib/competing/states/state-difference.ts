import {
  checkConfidence,
  checkDataColumns,
  checkNumber,
  DataError,
  directionOf,
  distributions,
  groupColumn,
  type Interval,
  type Labels,
  turned,
} from "../../numerics/mod.ts";
import { limitQuantile } from "../incidence/mod.ts";
import { stateInfluence } from "./state-influence.ts";
import { expectedIn, occupation, settled } from "./state-occupation.ts";
import { stateTable } from "./state-table.ts";
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
 * pair), which carries the covariance within pairs. Limits plain. `group` and `cluster` have one
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
  const z = limitQuantile(checkConfidence(options.confidence));
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
    return { label, table, probability, members, influence };
  });
  return states.map((state, k) => {
    const sums = arms.map(({ members, influence }) => {
      const sum = new Float64Array(units);
      members.forEach((subject, place) => {
        sum[unitOf ? unitOf[subject]! : subject]! += influence[place * states.length + k]!;
      });
      return sum;
    });
    const interval = (estimate: number, a: number, b: number): Interval => {
      let squares = 0;
      for (let c = 0; c < units; c++) squares += (a * sums[0]![c]! + b * sums[1]![c]!) ** 2;
      const standardError = Math.sqrt(squares);
      return {
        estimate,
        standardError,
        lower: estimate - z * standardError,
        upper: estimate + z * standardError,
      };
    };
    const estimates = arms.map(({ table, probability }) =>
      expectedIn(table, probability, k, options.horizon)
    );
    const difference = interval(estimates[1]! - estimates[0]!, -1, 1);
    return {
      state,
      direction,
      groups: arms.map(({ label }, side) => ({
        group: label,
        ...interval(estimates[side]!, side === 0 ? 1 : 0, side),
      })),
      difference: turned({
        ...difference,
        pValue: difference.standardError > 0
          ? distributions.normalTwoSided(difference.estimate / difference.standardError)
          : NaN,
      }, sign),
    };
  });
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
