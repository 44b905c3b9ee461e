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
  pValueOfLimits,
  squareAndAdd,
} from "../../numerics/mod.ts";
import { aalenJohansen, deltaErrors, incidenceInfluence } from "./aalen-johansen.ts";
import { causesOf, causeTable, rowAt } from "./cause-table.ts";
import { rowsOf, subset, weightAtRisk } from "./cumulative-incidence.ts";
import { type ArmAt, armLimits, FEW, limitQuantile } from "./incidence-limits.ts";

/** Cumulative incidence of two groups at one horizon, and what lies between them. */
export interface IncidenceContrast {
  time: number;
  /** Such as "repair - replacement": which group is taken from (divided by) which. */
  direction: string;
  /**
   * In label order, with the rows that had the event by then. Limits log-log; where there are few
   * events, see {@link incidenceDifference}.
   */
  groups: (Interval & { group: string | number; atRisk: number; events: number })[];
  /** Limits plain, p value of no difference; where there are few events, from the groups' limits. */
  difference: Interval & { pValue: number };
  /** Along the same direction; standard error and limits formed on the log scale. */
  ratio: Interval & { pValue: number };
  /** Whether a group has fewer than five events by then. */
  fewEvents: boolean;
}

/**
 * Differences and ratios of cumulative incidence between two groups at fixed horizons.
 *
 * The second group, in label order, minus (over) the first, unless `reference` names the one that is
 * subtracted; `direction` says it. Independent groups: s1^2 + s2^2, the
 * errors as in `cumulativeIncidence`. With `cluster` the influences of rows on their group's estimate
 * are added within a cluster before they are squared, the second group's with a plus and the first's
 * with a minus, which carries the covariance of matched pairs.
 *
 * With fewer than five events in a group (common practice, no source) a normal error says nothing, and
 * with none it is 0. There the limits of the difference are put together from the groups' own,
 * squared and added (with the correlation of pairs), a group's being exact where no event was seen,
 * or where no other cause competes (the beta product procedure), on effective numbers under weights;
 * the p value is the one that goes with these limits, and `fewEvents` is true. `standardError` stays
 * the normal one.
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
      limitsAt: armLimits(arm, cause),
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
    const [base, other] = [values[from]!.estimate, values[to]!.estimate];
    const known = !Number.isNaN(base) && !Number.isNaN(other);
    const combined = (a: number, b: number) =>
      alone
        ? Math.hypot(a * alone[from]!, b * alone[to]!)
        : rootSumOfSquares(sums[from]!, sums[to]!, a, b);
    const error = (a: number, b: number) => known ? combined(a, b) : NaN;
    const own = values.map(({ estimate }, side) => {
      const standardError = Number.isNaN(estimate)
        ? NaN
        : side === from
        ? combined(1, 0)
        : combined(0, 1);
      return { standardError, ...arms[side]!.limitsAt({ time, estimate, standardError }) };
    });
    const groups = values.map((value, side) => {
      const { standardError, events, limits } = own[side]!;
      const [lower, upper] = limits(confidence);
      return { ...value, standardError, lower, upper, events };
    });
    const difference = other - base;
    const differenceError = error(-1, 1);
    const ratio = base > 0 && other > 0 ? other / base : NaN;
    const ratioError = Number.isNaN(ratio) ? NaN : error(-1 / base, 1 / other);
    const fewEvents = own.some(({ events }) => events < FEW);
    const normal = {
      lower: difference - z * differenceError,
      upper: difference + z * differenceError,
      pValue: twoSided(difference, differenceError),
    };
    const correlation = alone || !known ? 0 : correlationOf(sums[from]!, sums[to]!);
    return {
      time,
      direction,
      groups,
      difference: {
        estimate: difference,
        standardError: differenceError,
        ...(fewEvents && known
          ? ofFewEvents(own[from]!, own[to]!, confidence, correlation)
          : normal),
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

/** Limits and p value of a difference from the limits of both arms. */
function ofFewEvents(from: ArmAt, to: ArmAt, confidence: number, correlation: number) {
  const at = (level: number) => {
    const [base, other] = [from, to].map(({ estimate, limits }) => {
      const [lower, upper] = limits(level);
      return { estimate, lower, upper };
    });
    return squareAndAdd(base!, other!, correlation);
  };
  return { ...at(confidence), pValue: pValueOfLimits(to.estimate - from.estimate, at) };
}

function correlationOf(first: Float64Array, second: Float64Array): number {
  const spread = rootSumOfSquares(first, second, 1, 0) * rootSumOfSquares(first, second, 0, 1);
  let products = 0;
  for (let c = 0; c < first.length; c++) products += first[c]! * second[c]!;
  return spread > 0 ? products / spread : 0;
}

function rootSumOfSquares(
  first: Float64Array,
  second: Float64Array,
  a: number,
  b: number,
): number {
  let total = 0;
  for (let c = 0; c < first.length; c++) total += (a * first[c]! + b * second[c]!) ** 2;
  return Math.sqrt(total);
}

/** p value of a normal statistic; none where the error is 0, as between incidences of 0 and 1. */
function twoSided(value: number, standardError: number): number {
  return standardError > 0 ? distributions.normalTwoSided(value / standardError) : NaN;
}
