import { DataError, type FollowUpColumns } from "../../numerics/mod.ts";

/**
 * Follow-up with several causes, collapsed to one row a distinct observed time.
 *
 * At one time the order is: events, then censorings, then entries. A row with delayed entry is at
 * risk on (entry, time].
 */
export interface CauseTable {
  /** Distinct observed times, ascending. */
  time: Float64Array;
  /** Where the rows of each time begin in `columns.order`; one longer than `time`. */
  start: Uint32Array;
  /** Weight at risk just before each time (the number of rows where there are no weights). */
  atRisk: Float64Array;
  /** Rows at risk just before each time. */
  rowsAtRisk: Int32Array;
  /** Rows with an event of any cause: where it equals `rowsAtRisk`, nobody is left. */
  rowsFailing: Int32Array;
  /** Weight of events of any cause. */
  failing: Float64Array;
  /** Weight censored. */
  censored: Float64Array;
  /** Weight of events of each cause, in the order of `causes`. */
  events: Float64Array[];
  /** The causes, ascending. */
  causes: number[];
  /** For each row, the place of its cause in `causes`; -1 where censored. */
  causeIndex: Int32Array;
}

/** The causes seen, or those asked for. @throws {DataError} when a cause seen was not listed. */
export function causesOf(event: Int32Array, asked?: ArrayLike<number>): number[] {
  const seen = new Map<number, number>();
  for (let i = 0; i < event.length; i++) {
    const code = event[i]!;
    if (code > 0 && !seen.has(code)) seen.set(code, i);
  }
  if (asked === undefined) return [...seen.keys()].sort((a, b) => a - b);
  const causes = [...new Set(Array.from(asked))].sort((a, b) => a - b);
  for (const [position, code] of causes.entries()) {
    if (!Number.isInteger(code) || code < 1) {
      throw new DataError("causes", "whole numbers from 1", code, position);
    }
  }
  for (const [code, row] of seen) {
    if (!causes.includes(code)) {
      throw new DataError("event", `0 or one of the causes ${causes.join(", ")}`, code, row);
    }
  }
  return causes;
}

/** Counts events, censorings and rows at risk at each distinct time. Cost O(n + n causes). */
export function causeTable(columns: FollowUpColumns, causes: number[]): CauseTable {
  const { n, time, event, entry, weight, order, entryOrder } = columns;
  let distinct = n > 0 ? 1 : 0;
  for (let i = 1; i < n; i++) if (time[order[i]!]! !== time[order[i - 1]!]!) distinct++;
  const place = new Map(causes.map((cause, index) => [cause, index]));
  const causeIndex = new Int32Array(n);
  for (let i = 0; i < n; i++) causeIndex[i] = event[i] === 0 ? -1 : place.get(event[i]!)!;

  const table: CauseTable = {
    time: new Float64Array(distinct),
    start: new Uint32Array(distinct + 1),
    atRisk: new Float64Array(distinct),
    rowsAtRisk: new Int32Array(distinct),
    rowsFailing: new Int32Array(distinct),
    failing: new Float64Array(distinct),
    censored: new Float64Array(distinct),
    events: causes.map(() => new Float64Array(distinct)),
    causes,
    causeIndex,
  };
  table.start[distinct] = n;
  // From the last time backwards, so that what is at risk is added up and seldom subtracted.
  let row = n - 1;
  let entering = n - 1;
  let leaving = 0;
  let leavingRows = 0;
  let entered = 0;
  let enteredRows = 0;
  for (let j = distinct - 1; j >= 0; j--) {
    const now = time[order[row]!]!;
    table.time[j] = now;
    for (; row >= 0 && time[order[row]!]! === now; row--) {
      const i = order[row]!;
      const w = weight ? weight[i]! : 1;
      leaving += w;
      leavingRows++;
      const cause = causeIndex[i]!;
      if (cause < 0) table.censored[j]! += w;
      else {
        table.events[cause]![j]! += w;
        table.failing[j]! += w;
        table.rowsFailing[j]!++;
      }
    }
    table.start[j] = row + 1;
    if (entry) {
      for (; entering >= 0 && entry[entryOrder![entering]!]! >= now; entering--) {
        entered += weight ? weight[entryOrder![entering]!]! : 1;
        enteredRows++;
      }
    }
    table.rowsAtRisk[j] = leavingRows - enteredRows;
    table.atRisk[j] = weight ? leaving - entered : leavingRows - enteredRows;
  }
  return table;
}

/** The last row whose time is at most t, or -1. */
export function rowAt(time: Float64Array, t: number): number {
  let low = 0;
  let high = time.length;
  while (low < high) {
    const middle = (low + high) >>> 1;
    if (time[middle]! <= t) low = middle + 1;
    else high = middle;
  }
  return low - 1;
}
