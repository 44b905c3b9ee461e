import type { FollowUpColumns, GroupColumn } from "../../numerics/mod.ts";

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
  const { n, sortedTime, event: code, order, entry, weight } = columns;
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
  const atRiskCount = new Float64Array(rows);
  // out of order first, alone: mixed with the columns written below it would find nothing in cache
  const failed = new Uint8Array(n);
  for (let i = 0; i < n; i++) failed[i] = (0 - code[order[i]!]!) >>> 31; // 1 where code > 0
  for (let start = 0, j = 0; j < rows; j++) {
    const t = sortedTime[start]!;
    let events = 0;
    let end = start;
    for (; end < n && sortedTime[end] === t; end++) events += failed[end]!;
    time[j] = t;
    eventCount[j] = events;
    censoredCount[j] = end - start - events;
    atRiskCount[j] = n - start;
    start = end;
  }
  const counts = { atRiskCount, eventCount, censoredCount };
  if (entry) takeLater(columns, time, atRiskCount);
  if (!weight) {
    return { time, atRisk: atRiskCount, event: eventCount, censored: censoredCount, ...counts };
  }
  const event = new Float64Array(rows);
  const censored = new Float64Array(rows);
  for (let i = 0, j = 0; j < rows; j++) {
    for (; i < n && sortedTime[i] === time[j]; i++) {
      const w = weight[order[i]!]!;
      if (failed[i]) event[j]! += w;
      else censored[j]! += w;
    }
  }
  const atRisk = new Float64Array(rows);
  let total = 0;
  for (let j = rows - 1; j >= 0; j--) atRisk[j] = total += event[j]! + censored[j]!;
  if (entry) takeLater(columns, time, atRisk, weight);
  return { time, atRisk, event, censored, ...counts };
}

/** Takes off those who enter at or after each time: they are not yet at risk there. */
function takeLater(
  { n, entry, entryOrder }: FollowUpColumns,
  time: Float64Array,
  atRisk: Float64Array,
  weight?: Float64Array,
): void {
  if (!entry || !entryOrder) return;
  let later = 0;
  let i = n - 1;
  for (let j = time.length - 1; j >= 0; j--) {
    for (; i >= 0 && entry[entryOrder[i]!]! >= time[j]!; i--) {
      later += weight ? weight[entryOrder[i]!]! : 1;
    }
    atRisk[j]! -= later;
  }
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

/**
 * Each group's (or stratum's) rows in time order, codes ascending; the columns in the caller's
 * order stay whole. One pass over the orders, by counting.
 */
export function partsOf(
  columns: FollowUpColumns,
  { codes, labels }: GroupColumn,
): FollowUpColumns[] {
  const { order, sortedTime, entryOrder } = columns;
  const start = new Uint32Array(labels.length + 1);
  for (let row = 0; row < codes.length; row++) start[codes[row]! + 1]!++;
  for (let code = 0; code < labels.length; code++) start[code + 1]! += start[code]!;
  const rows = new Uint32Array(order.length);
  const times = new Float64Array(order.length);
  // read out of order alone, as in eventTable
  const which = labels.length < 256 ? new Uint8Array(order.length) : new Int32Array(order.length);
  for (let i = 0; i < order.length; i++) which[i] = codes[order[i]!]!;
  let next = start.slice();
  for (let i = 0; i < order.length; i++) {
    const place = next[which[i]!]!++;
    rows[place] = order[i]!;
    times[place] = sortedTime[i]!;
  }
  const entries = entryOrder && new Uint32Array(entryOrder.length);
  if (entries) {
    next = start.slice();
    for (const row of entryOrder) entries[next[codes[row]!]!++] = row;
  }
  return labels.map((_, code) => {
    const [from, to] = [start[code]!, start[code + 1]!];
    return {
      ...columns,
      n: to - from,
      order: rows.subarray(from, to),
      sortedTime: times.subarray(from, to),
      entryOrder: entries?.subarray(from, to),
    };
  });
}
