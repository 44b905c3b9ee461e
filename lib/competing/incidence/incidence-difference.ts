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
import { aalenJohansen, deltaErrors, incidenceInfluence } from "./aalen-johansen.ts";
import { causesOf, causeTable, rowAt } from "./cause-table.ts";
import { rowsOf, subset, weightAtRisk } from "./cumulative-incidence.ts";
import { incidenceLimits, limitQuantile } from "./incidence-limits.ts";

/** Cumulative incidence of two groups at one horizon, and what lies between them. */
export interface IncidenceContrast {
  time: number;
  /** In label order; limits log-log. */
  groups: (Interval & { group: string | number; atRisk: number })[];
  /** Second group minus first; limits plain, p value of no difference. */
  difference: Interval & { pValue: number };
  /** Second group over first; standard error and limits formed on the log scale. */
  ratio: Interval & { pValue: number };
}

/**
 * Differences and ratios of cumulative incidence between two groups at fixed horizons.
 *
 * The second group, in label order, minus (over) the first. Independent groups: s1^2 + s2^2, the
 * errors as in `cumulativeIncidence`. With `cluster` the influences of rows on their group's estimate
 * are added within a cluster before they are squared, the second group's with a plus and the first's
 * with a minus, which carries the covariance of matched pairs.
 *
 * The error of the ratio is that of its logarithm. The ratio is NaN, and its p value with it, where
 * either incidence is 0; all values are NaN at a horizon past a group's last observed time, unless
 * nobody in it was event-free by then.
 * Cost: O(n log n + n horizons).
 *
 * @example Recurrence by 1 and 5 years, pairs kept together
 * ```ts
 * incidenceDifference({ time, event, group, cluster: pair }, { cause: 1, times: [1, 5] });
 * ```
 * @throws {DataError} unless there are exactly two groups, or on a value out of range.
 * @see Zhang and Fine (2008) Biometrics 64:1077-1086 (summaries of two incidences at a time).
 */
export function incidenceDifference(
  data: FollowUp & { group: Labels; cluster?: Labels },
  options: { cause: number; times: Numbers; confidence?: number },
): IncidenceContrast[] {
  checkDataColumns("incidenceDifference", data, [...FOLLOW_UP, "group", "cluster"]);
  const z = limitQuantile(checkConfidence(options.confidence));
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
  const cluster = data.cluster === undefined ? undefined : groupColumn("cluster", data.cluster, n);
  const causes = [...new Set([...causesOf(columns.event), cause])].sort((a, b) => a - b);
  const k = causes.indexOf(cause);
  const arms = group.labels.map((label, code) => {
    const rows = rowsOf(group.codes, code);
    const arm = followUpColumns(subset(columns, rows), { causes: true });
    const table = causeTable(arm, causes);
    const estimate = aalenJohansen(table);
    return {
      label,
      rows,
      columns: arm,
      table,
      estimate,
      errors: deltaErrors(table, estimate)[k]!,
      atRisk: weightAtRisk(arm),
    };
  });

  return Array.from(times, (time) => {
    const sums = arms.map(() => new Float64Array(cluster ? cluster.labels.length : n));
    // independent groups of whole rows: each its own delta-method error
    const alone = cluster || columns.weight
      ? undefined
      : arms.map((arm) => arm.errors[rowAt(arm.table.time, time)] ?? 0);
    const values = arms.map((arm, side) => {
      const m = arm.table.time.length;
      const j = rowAt(arm.table.time, time);
      const past = time > arm.table.time[m - 1]! && arm.estimate.eventFree[m - 1]! > 0;
      const estimate = past ? NaN : j < 0 ? 0 : arm.estimate.incidence[k]![j]!;
      const atRisk = arm.atRisk(time);
      if (alone) return { group: arm.label, estimate, atRisk };
      const influence = incidenceInfluence(arm.columns, arm.table, arm.estimate, k, time);
      arm.rows.forEach((row, place) => {
        sums[side]![cluster ? cluster.codes[row]! : row]! += influence[place]!;
      });
      return { group: arm.label, estimate, atRisk };
    });
    const [first, second] = [values[0]!.estimate, values[1]!.estimate];
    const known = !Number.isNaN(first) && !Number.isNaN(second);
    const combined = (a: number, b: number) =>
      alone ? Math.hypot(a * alone[0]!, b * alone[1]!) : rootSumOfSquares(sums, a, b);
    const error = (a: number, b: number) => known ? combined(a, b) : NaN;
    const groups = values.map((value, side) => {
      const standardError = Number.isNaN(value.estimate) ? NaN : combined(side === 0 ? 1 : 0, side);
      const [lower, upper] = incidenceLimits(value.estimate, standardError, z, "log-log");
      return { ...value, standardError, lower, upper };
    });
    const difference = second - first;
    const differenceError = error(-1, 1);
    const ratio = first > 0 && second > 0 ? second / first : NaN;
    const ratioError = Number.isNaN(ratio) ? NaN : error(-1 / first, 1 / second);
    return {
      time,
      groups,
      difference: {
        estimate: difference,
        standardError: differenceError,
        lower: difference - z * differenceError,
        upper: difference + z * differenceError,
        pValue: twoSided(difference, differenceError),
      },
      ratio: {
        estimate: ratio,
        standardError: ratioError,
        lower: ratio * Math.exp(-z * ratioError),
        upper: ratio * Math.exp(z * ratioError),
        pValue: twoSided(Math.log(ratio), ratioError),
      },
    };
  });
}

function rootSumOfSquares(sums: Float64Array[], a: number, b: number): number {
  let total = 0;
  for (let c = 0; c < sums[0]!.length; c++) total += (a * sums[0]![c]! + b * sums[1]![c]!) ** 2;
  return Math.sqrt(total);
}

/** p value of a normal statistic; none where the error is 0, as between incidences of 0 and 1. */
function twoSided(value: number, standardError: number): number {
  return standardError > 0 ? distributions.normalTwoSided(value / standardError) : NaN;
}
