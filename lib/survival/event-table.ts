import type { FollowUpColumns } from "../numerics/columns.ts";

/**
 * Follow-up summed to one row per distinct observed time, ascending: all that a curve needs.
 *
 * Sums are of case weights, counts of rows; without weights both are the same arrays. Order at one
 * time: events, then censorings, then entries, so a subject censored at t is at risk at t and one
 * who enters at t is not. Nothing is sorted here: the columns carry their order.
 */
export interface EventTable {
  /** Distinct observed times. */
  time: Float64Array;
  /** Weight at risk at each time: entry < time <= exit. */
  atRisk: Float64Array;
  /** Weight of the events. */
  event: Float64Array;
  /** Weight of the censorings. */
  censored: Float64Array;
  /** Rows at risk. */
  atRiskCount: Float64Array;
  /** Rows with the event. */
  eventCount: Float64Array;
  /** Rows censored. */
  censoredCount: Float64Array;
}

/**
 * Builds the table from validated columns; any event code above 0 counts as the event.
 *
 * At-risk sums are taken from the last time backwards, so that without delayed entry nothing is
 * ever subtracted. Cost O(n), no sorting.
 */
export function eventTable(columns: FollowUpColumns): EventTable {
  const { n, sortedTime, event: code, order, weight } = columns;
  let rows = 0;
  let last = NaN;
  for (let i = 0; i < n; i++) {
    const t = sortedTime[i]!;
    if (t !== last) rows++;
    last = t;
  }
  const time = new Float64Array(rows);
  const eventCount = new Float64Array(rows);
  const censoredCount = new Float64Array(rows);
  const event = weight ? new Float64Array(rows) : eventCount;
  const censored = weight ? new Float64Array(rows) : censoredCount;
  let j = -1;
  last = NaN;
  for (let i = 0; i < n; i++) {
    const row = order[i]!;
    const t = sortedTime[i]!;
    if (t !== last) {
      last = t;
      time[++j] = t;
    }
    if (code[row]! > 0) {
      eventCount[j]!++;
      if (weight) event[j]! += weight[row]!;
    } else {
      censoredCount[j]!++;
      if (weight) censored[j]! += weight[row]!;
    }
  }
  const atRiskCount = sumAtRisk(columns, time, eventCount, censoredCount);
  const atRisk = weight ? sumAtRisk(columns, time, event, censored, weight) : atRiskCount;
  return { time, atRisk, event, censored, atRiskCount, eventCount, censoredCount };
}

/** Backwards: everyone who leaves at or after t, less those not yet under observation at t. */
function sumAtRisk(
  { n, entry, entryOrder }: FollowUpColumns,
  time: Float64Array,
  event: Float64Array,
  censored: Float64Array,
  weight?: Float64Array,
): Float64Array {
  const rows = time.length;
  const atRisk = new Float64Array(rows);
  let total = 0;
  let i = n - 1;
  for (let j = rows - 1; j >= 0; j--) {
    total += event[j]! + censored[j]!;
    if (entry && entryOrder) {
      const t = time[j]!;
      while (i >= 0 && entry[entryOrder[i]!]! >= t) {
        total -= weight ? weight[entryOrder[i]!]! : 1;
        i--;
      }
    }
    atRisk[j] = total;
  }
  return atRisk;
}

/** Index of the last of `times` (ascending) that is at most `t`, or -1. */
export function lastAtMost(times: ArrayLike<number>, t: number): number {
  let low = 0;
  let high = times.length;
  while (low < high) {
    const middle = (low + high) >>> 1;
    if (times[middle]! <= t) low = middle + 1;
    else high = middle;
  }
  return low - 1;
}

/** One group's rows in time order; the columns in the caller's order stay whole. */
export function rowsWithCode(
  columns: FollowUpColumns,
  codes: Int32Array,
  code: number,
): FollowUpColumns {
  const { order, entryOrder } = columns;
  let n = 0;
  for (let row = 0; row < codes.length; row++) if (codes[row] === code) n++;
  const kept = new Uint32Array(n);
  const sortedTime = new Float64Array(n);
  let next = 0;
  for (let i = 0; i < order.length; i++) {
    const row = order[i]!;
    if (codes[row] === code) {
      sortedTime[next] = columns.sortedTime[i]!;
      kept[next++] = row;
    }
  }
  const entries = entryOrder && entryOrder.filter((row) => codes[row] === code);
  return { ...columns, n, order: kept, sortedTime, entryOrder: entries };
}
