import {
  checkNumber,
  type FollowUpColumns,
  numberColumn,
  type Numbers,
  TIE_TOLERANCE,
} from "../../numerics/mod.ts";
import { type EventTable, lastAtMost } from "./event-table.ts";

/** Step values of a curve at chosen times. */
export interface CurveAt {
  /** Times, in the unit given. */
  time: Float64Array;
  /** Probability of being alive at each time, 0 to 1. */
  survival: Float64Array;
  /** Standard errors of the estimates. */
  standardError: Float64Array;
  /** Lower limits. */
  lower: Float64Array;
  /** Upper limits. */
  upper: Float64Array;
  /** Still under observation just before each time; sums of weights where there are weights. */
  atRisk: Float64Array;
  /** The same as a count of rows, without weights. */
  atRiskCount: Float64Array;
}

/**
 * A step curve with its limits, one row per time, and its limits before the first of them; past the
 * last there are none, unless they are given.
 */
export type Steps = Omit<CurveAt, "atRisk" | "atRiskCount"> & {
  atStart: [lower: number, upper: number];
  past?: [lower: number, upper: number];
};

/** Step values at any times, with the number at risk just before each. @throws {DataError} */
export function curveAt(
  { atStart, past, survival, standardError, lower, upper }: Steps,
  table: EventTable,
  columns: FollowUpColumns,
  times: Numbers,
): CurveAt {
  const steps = { survival, standardError, lower, upper };
  const start = { survival: 1, standardError: 0, lower: atStart[0], upper: atStart[1] };
  const end = survival.at(-1) === 0
    ? lastOf(steps)
    : { lower: past?.[0] ?? NaN, upper: past?.[1] ?? NaN };
  return valuesAt(steps, start, table, columns, times, end);
}

function lastOf(
  { survival, standardError, lower, upper }: Omit<CurveAt, "time" | "atRisk" | "atRiskCount">,
) {
  const last = survival.length - 1;
  return {
    survival: survival[last]!,
    standardError: standardError[last]!,
    lower: lower[last]!,
    upper: upper[last]!,
  };
}

/**
 * Values of step columns at any times, with the number at risk just before each.
 *
 * @param steps Columns along the times of the table.
 * @param start Their values before the first time.
 * @param end Their values past the last time, NaN where not given.
 * @throws {DataError}
 */
export function valuesAt<Name extends string>(
  steps: Record<Name, Float64Array>,
  start: Record<Name, number>,
  table: EventTable,
  columns: FollowUpColumns,
  times: Numbers,
  end: Partial<Record<Name, number>> = {},
) {
  const time = numberColumn("times", times, { min: 0 }).slice();
  const k = time.length;
  const last = table.time.length - 1;
  const tolerance = TIE_TOLERANCE * table.time[last]!;
  const names = Object.keys(start) as Name[];
  const values = Object.fromEntries(names.map((name) => [name, new Float64Array(k)])) as Record<
    Name,
    Float64Array
  >;
  const atRisk = new Float64Array(k);
  const atRiskCount = new Float64Array(k);
  for (let i = 0; i < k; i++) {
    // a time asked for counts as tied with an observed one as two observed ones would
    const j = lastAtMost(table.time, time[i]! + tolerance);
    const tied = j >= 0 && time[i]! - table.time[j]! < tolerance || time[i] === table.time[j];
    const past = j === last && !tied;
    for (const name of names) {
      const step: Float64Array = steps[name];
      values[name][i] = j < 0 ? start[name] : past ? end[name] ?? NaN : step[j]!;
    }
    const following = tied ? j : j + 1;
    if (following > last) continue;
    atRisk[i] = table.atRisk[following]!;
    atRiskCount[i] = table.atRiskCount[following]!;
    if (!tied) {
      const [weight, count] = enteredBetween(columns, time[i]!, table.time[following]!);
      atRisk[i]! -= weight;
      atRiskCount[i]! -= count;
      if (atRiskCount[i] === 0) atRisk[i] = 0;
    }
  }
  return { time, ...values, atRisk, atRiskCount };
}

/** Weight and number of rows with from <= entry < to. */
function enteredBetween(
  { entry, entryOrder, weight, n }: FollowUpColumns,
  from: number,
  to: number,
): [weight: number, count: number] {
  if (!entry || !entryOrder) return [0, 0];
  let low = 0;
  let high = n;
  while (low < high) {
    const middle = (low + high) >>> 1;
    if (entry[entryOrder[middle]!]! < from) low = middle + 1;
    else high = middle;
  }
  let total = 0;
  let count = 0;
  for (let i = low; i < n && entry[entryOrder[i]!]! < to; i++) {
    total += weight ? weight[entryOrder[i]!]! : 1;
    count++;
  }
  return [total, count];
}

const FLAT = 1e-8;

/**
 * Smallest time at which a curve is at most `level`, midpoint of a step equal to it.
 *
 * A band need not fall all the way: then it is the time of its highest value at most `level`.
 */
function crossing(time: Float64Array, curve: Float64Array, level: number): number {
  const start = highestAtMost(curve, level + FLAT);
  if (start < 0) return NaN;
  if (curve[start]! < level - FLAT) return time[start]!;
  const end = highestAtMost(curve, level - FLAT);
  return (time[start]! + time[end < 0 ? time.length - 1 : end]!) / 2;
}

/** First row of the highest value at most `level`, or -1; NaN (no limit) is never at most. */
function highestAtMost(curve: Float64Array, level: number): number {
  let found = -1;
  for (let j = 0; j < curve.length; j++) {
    if (curve[j]! <= level && (found < 0 || curve[j]! > curve[found]!)) found = j;
  }
  return found;
}

/** The time by which a share p had the event, with its limits. @throws {DataError} for no share. */
export function curveQuantile(
  { time, survival, lower, upper }: {
    time: Float64Array;
    survival: Float64Array;
    lower: Float64Array;
    upper: Float64Array;
  },
  p: number,
): { estimate: number; lower: number; upper: number } {
  checkNumber("p", p, (value) => value > 0 && value < 1, "between 0 and 1");
  const of = (curve: Float64Array) => crossing(time, curve, 1 - p);
  return { estimate: of(survival), lower: of(lower), upper: of(upper) };
}
