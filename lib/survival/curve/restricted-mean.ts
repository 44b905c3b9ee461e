import {
  checkConfidence,
  checkDataColumns,
  checkNumber,
  DataError,
  directionOf,
  distributions,
  FOLLOW_UP,
  type FollowUp,
  type FollowUpColumns,
  followUpColumns,
  groupColumn,
  type Interval,
  type Labels,
  TIE_TOLERANCE,
  turned,
  turnedOver,
} from "../../numerics/mod.ts";
import { type EventTable, eventTable, partsOf } from "./event-table.ts";
import { productLimit } from "./kaplan-meier.ts";
import { clusteredSquares } from "./robust-variance.ts";

/** Options of the restricted mean. */
export interface RestrictedMeanOptions {
  /** End of the window, above 0, in the unit of the times. */
  horizon: number;
  /** Level of the limits, default 0.95. */
  confidence?: number;
  /** Default "robust" where weights or clusters are given, "greenwood" otherwise. */
  variance?: "greenwood" | "robust";
}

type Clusters = { codes: Int32Array; labels: ArrayLike<unknown> };

/**
 * Mean time free of the event within a horizon: the area under Kaplan-Meier from 0 to the horizon.
 *
 * Variance: the sum over event times t_i up to the horizon of A_i^2 d_i / (n_i (n_i - d_i)), A_i
 * the area from t_i to the horizon, 0 where everyone at risk fails; no small-sample factor. With
 * weights or clusters the infinitesimal jackknife instead. Limits: normal, estimate +/- z s.
 *
 * The horizon may not exceed the last observed time, where the curve is not known, unless survival
 * has reached 0 by then. With delayed entry the curve starts at 0 all the same, so the first entry
 * should be at or before it. Units: the caller's time unit. Cost O(n log n).
 *
 * @example
 * ```ts
 * import { restrictedMeanSurvival } from "mitral";
 * restrictedMeanSurvival({ time: [1, 2, 3], event: [1, 1, 1] }, { horizon: 2 }).estimate; // 5/3
 * ```
 * @throws {DataError} as kaplanMeier, and for a horizon past what was observed.
 * @see Royston & Parmar (2013) BMC Medical Research Methodology 13:152.
 */
export function restrictedMeanSurvival(
  data: FollowUp & { cluster?: Labels },
  options: RestrictedMeanOptions,
): Interval {
  checkDataColumns("restrictedMeanSurvival", data, [...FOLLOW_UP, "cluster"]);
  const columns = followUpColumns(data);
  const cluster = data.cluster && groupColumn("cluster", data.cluster, columns.n);
  const { z, robust } = choices(options, data);
  const { mean, variance } = areaOf(columns, options.horizon, robust, cluster);
  return normalInterval(mean, Math.sqrt(variance), z);
}

/** Restricted means of two groups, their difference and ratio. */
export interface RestrictedMeanDifference {
  /** Up to when years are counted. */
  horizon: number;
  /** Such as "repair - replacement": which group is taken from (divided by) which. */
  direction: string;
  /** In ascending order of label. */
  groups: (Interval & { group: string | number; n: number })[];
  /** Along the direction. */
  difference: Interval & { pValue: number };
  /** Along the direction; the standard error is of the logarithm. */
  ratio: Interval & { pValue: number };
}

/**
 * Difference and ratio of restricted mean times, second label minus (over) first in sorted order,
 * unless `reference` names the group that is subtracted; `direction` says it.
 *
 * Difference: normal, variances added. Ratio: normal on the log scale by the delta method,
 * variance s1^2 / m1^2 + s2^2 / m2^2; its `standardError` is of the logarithm. Clusters that have
 * rows in both groups (matched pairs) contribute their covariance. P values are two-sided.
 *
 * Edges: no ratio (NaN) where a mean is 0; no p value (NaN) for a difference without any estimated
 * error, as from one subject a group.
 *
 * @throws {DataError} as restrictedMeanSurvival; unless there are exactly two groups; and where a
 * group's last observed time is before the horizon with survival above 0.
 * @see Royston & Parmar (2013) BMC Medical Research Methodology 13:152.
 */
export function restrictedMeanDifference(
  data: FollowUp & { group: Labels; cluster?: Labels },
  options: RestrictedMeanOptions & { reference?: string | number },
): RestrictedMeanDifference {
  checkDataColumns("restrictedMeanDifference", data, [...FOLLOW_UP, "group", "cluster"]);
  const columns = followUpColumns(data);
  const byGroup = groupColumn("group", data.group, columns.n);
  const { labels } = byGroup;
  const cluster = data.cluster && groupColumn("cluster", data.cluster, columns.n);
  if (labels.length !== 2) {
    throw new DataError("group", "exactly two different labels", labels.length);
  }
  const { direction, sign } = directionOf(labels, options.reference);
  const { z, robust } = choices(options, data);
  const [first, second] = partsOf(columns, byGroup).map((part, code) => ({
    ...areaOf(part, options.horizon, robust, cluster, labels[code]),
    n: part.n,
  })) as [Area & { n: number }, Area & { n: number }];
  let covariance = 0;
  if (first.influence && second.influence && cluster) {
    const both = second.influence.map((u, row) => u + first.influence![row]!);
    const total = clusteredSquares(both, columns.weight, cluster);
    covariance = (total - first.variance - second.variance) / 2;
  }
  const error = Math.sqrt(Math.max(0, first.variance + second.variance - 2 * covariance));
  const difference = second.mean - first.mean;
  const logError = Math.sqrt(Math.max(
    0,
    first.variance / first.mean ** 2 + second.variance / second.mean ** 2 -
      2 * covariance / (first.mean * second.mean),
  ));
  const logRatio = Math.log(second.mean / first.mean);
  return {
    horizon: options.horizon,
    direction,
    groups: [first, second].map(({ mean, variance, n }, code) => ({
      group: labels[code]!,
      n,
      ...normalInterval(mean, Math.sqrt(variance), z),
    })),
    difference: turned({
      ...normalInterval(difference, error, z),
      pValue: twoSided(difference, error),
    }, sign),
    ratio: turnedOver({
      estimate: Math.exp(logRatio),
      standardError: logError,
      lower: Math.exp(logRatio - z * logError),
      upper: Math.exp(logRatio + z * logError),
      pValue: twoSided(logRatio, logError),
    }, sign),
  };
}

interface Area {
  mean: number;
  variance: number;
  /** d mean / d weight of each row, for the robust variance only. */
  influence: Float64Array | undefined;
}

/** Area under the curve to the horizon with its variance. */
function areaOf(
  columns: FollowUpColumns,
  horizon: number,
  robust: boolean,
  cluster: Clusters | undefined,
  group?: string | number,
): Area {
  const table = eventTable(columns);
  const { survival } = productLimit(table);
  const last = table.time.length - 1;
  const tolerance = TIE_TOLERANCE * table.time[last]!;
  if (horizon > table.time[last]! + tolerance && survival[last]! > 0) {
    const whose = group === undefined ? "the last observed time" : `the last time of "${group}"`;
    throw new DataError("horizon", `at most ${whose}, ${table.time[last]}`, horizon);
  }
  // rows that count: times up to the horizon (a time tied with it leaves no area after it)
  let rows = 0;
  while (rows <= last && table.time[rows]! < horizon + tolerance) rows++;
  const after = new Float64Array(rows); // area from each time to the horizon
  let area = 0;
  let until = horizon;
  for (let j = rows - 1; j >= 0; j--) {
    area += survival[j]! * Math.max(0, until - table.time[j]!);
    after[j] = area;
    until = table.time[j]!;
  }
  const mean = area + Math.min(until, horizon);
  if (robust) {
    const influence = areaInfluence(columns, table, after);
    return { mean, influence, variance: clusteredSquares(influence, columns.weight, cluster) };
  }
  let variance = 0;
  for (let j = 0; j < rows; j++) {
    if (table.eventCount[j]! > 0 && table.eventCount[j]! < table.atRiskCount[j]!) {
      const left = table.atRisk[j]! - table.event[j]!;
      variance += after[j]! ** 2 * table.event[j]! / (table.atRisk[j]! * left);
    }
  }
  return { mean, variance, influence: undefined };
}

/**
 * d mean / d weight: K(exit) - K(entry) - [event] A / (n - d) at exit, where K sums A d / (n (n -
 * d)) over event times and A is the area still to come.
 */
function areaInfluence(
  { n, time: exit, sortedTime, event, order, entry, entryOrder }: FollowUpColumns,
  table: EventTable,
  after: Float64Array,
): Float64Array {
  const influence = new Float64Array(exit.length);
  let sum = 0;
  let i = 0;
  let next = 0;
  for (let j = 0; j < after.length; j++) {
    const t = table.time[j]!;
    while (entry && entryOrder && next < n && entry[entryOrder[next]!]! < t) {
      influence[entryOrder[next++]!]! -= sum;
    }
    const someLeft = table.eventCount[j]! < table.atRiskCount[j]!;
    const left = table.atRisk[j]! - table.event[j]!;
    if (someLeft) sum += after[j]! * table.event[j]! / (table.atRisk[j]! * left);
    for (; i < n && sortedTime[i] === t; i++) {
      const row = order[i]!;
      influence[row]! += sum - (event[row]! > 0 && someLeft ? after[j]! / left : 0);
    }
  }
  // rows still under observation at the horizon; those that enter later add nothing
  for (; i < n; i++) {
    const row = order[i]!;
    const entered = !entry || after.length === 0 || entry[row]! < table.time[after.length - 1]!;
    if (entered) influence[row]! += sum;
  }
  return influence;
}

function choices(
  { horizon, confidence, variance }: RestrictedMeanOptions,
  data: FollowUp & { cluster?: Labels },
): { z: number; robust: boolean } {
  checkNumber("horizon", horizon, (h) => h > 0 && h < Infinity, "a finite number > 0");
  const level = checkConfidence(confidence);
  const robust = variance === undefined
    ? data.weight !== undefined || data.cluster !== undefined
    : variance === "robust";
  return { z: distributions.normalUpperQuantile((1 - level) / 2), robust };
}

function normalInterval(estimate: number, standardError: number, z: number): Interval {
  return {
    estimate,
    standardError,
    lower: estimate - z * standardError,
    upper: estimate + z * standardError,
  };
}

/** P value of estimate / error; where nothing varied there is no test of a difference (NaN). */
function twoSided(estimate: number, error: number): number {
  if (error > 0) return distributions.normalTwoSided(estimate / error);
  return estimate === 0 ? 1 : NaN;
}
