import { binaryColumn, DataError, numberColumn, type Numbers } from "../../numerics/mod.ts";
import { innermostIntervals, sortEnds } from "../../survival/intervals/mod.ts";

/** A recurrence looked for at visits, and death known to the day. One value a patient. */
export interface VisitFollowUp {
  /**
   * The last visit without recurrence before it was found or follow-up ended; 0 if there was none.
   */
  lastClear: Numbers;
  /** The visit that found it; Infinity where none did. */
  found: Numbers;
  /** End of follow-up: death or last contact. */
  time: Numbers;
  /** 1 where follow-up ended in death. */
  death: Numbers;
  /** Case weight, above 0. */
  weight?: Numbers;
}

/** What to take of a death after the last clear visit, when no visit found a recurrence. */
export type UnseenDeaths = "modelled" | "free" | "recurred";

/** Validated columns. */
export interface VisitColumns {
  n: number;
  lastClear: Float64Array;
  found: Float64Array;
  time: Float64Array;
  death: Uint8Array;
  weight: Float64Array;
}

/** @throws {DataError} on a value out of range or visits out of order. */
export function visitColumns(data: VisitFollowUp): VisitColumns {
  const n = data.time?.length ?? 0;
  if (n === 0) throw new DataError("time", "at least one row", "none");
  const time = numberColumn("time", data.time, { min: 0 });
  const lastClear = numberColumn("lastClear", data.lastClear, { length: n, min: 0 });
  const found = numberColumn("found", data.found, { length: n, min: 0, infinite: true });
  const death = binaryColumn("death", data.death, n);
  for (let i = 0; i < n; i++) {
    if (lastClear[i]! > time[i]!) {
      throw new DataError("lastClear", `at most its time ${time[i]}`, lastClear[i], i);
    }
    if (!(found[i]! > lastClear[i]!)) {
      throw new DataError("found", `after its last clear visit ${lastClear[i]}`, found[i], i);
    }
    if (found[i]! < Infinity && found[i]! > time[i]!) {
      throw new DataError("found", `at most its time ${time[i]}, or Infinity`, found[i], i);
    }
  }
  const weight = data.weight === undefined
    ? new Float64Array(n).fill(1)
    : numberColumn("weight", data.weight, { length: n, above: 0 });
  return { n, lastClear, found, time, death, weight };
}

/**
 * The same patients as intervals on the places where a recurrence can be: Turnbull's innermost
 * intervals, in each of which it is put at the middle for meeting the hazard of death. Patients
 * whose visits and ends cannot be told apart on these places are one row.
 */
export interface VisitDesign {
  n: number;
  /** Innermost intervals; the last may end at Infinity: no recurrence while anyone looked. */
  left: Float64Array;
  right: Float64Array;
  middle: Float64Array;
  /** Each patient's row. */
  rowOf: Int32Array;
  /** Weight of each row. */
  weight: Float64Array;
  /** Each row can have recurred in places first .. last - 1. */
  first: Int32Array;
  last: Int32Array;
  /** Whether it was found (1), and whether they died (1). */
  isFound: Uint8Array;
  death: Uint8Array;
  /** Distinct times of death, and the weight dying and alive at each. */
  deathTime: Float64Array;
  dying: Float64Array;
  alive: Float64Array;
  /** Times of death before each place; a death at the very place comes after it. */
  deathsBefore: Int32Array;
  /** Times of death at or before the last clear visit, the finding, and the end of follow-up. */
  clearAt: Int32Array;
  foundAt: Int32Array;
  endAt: Int32Array;
  /** Weight of all patients. */
  total: number;
}

/** Builds the design. Cost O(n log n). */
export function visitDesign(
  { n, lastClear, found, time, death, weight }: VisitColumns,
  unseen: UnseenDeaths,
): VisitDesign {
  const clear = lastClear.slice();
  const seen = found.slice();
  for (let i = 0; i < n; i++) {
    if (death[i] === 0 || found[i]! < Infinity || !(time[i]! > lastClear[i]!)) continue;
    if (unseen === "free") clear[i] = time[i]!;
    if (unseen === "recurred") seen[i] = time[i]!;
  }
  const { left, right } = innermostIntervals(clear, seen, weight, sortEnds(clear, seen));
  const middle = left.map((l, s) => right[s]! < Infinity ? (l + right[s]!) / 2 : Infinity);
  const deathTime = Float64Array.from(
    new Set(Float64Array.from(time.filter((_, i) => death[i] === 1)).sort()),
  );
  const patients = {
    first: Int32Array.from(clear, (t) => upTo(middle, t)),
    last: Int32Array.from(seen, (t, i) => upTo(middle, t < Infinity ? t : time[i]!)),
    isFound: Uint8Array.from(seen, (t) => t < Infinity ? 1 : 0),
    death,
    clearAt: Int32Array.from(clear, (t) => upTo(deathTime, t)),
    foundAt: Int32Array.from(seen, (t, i) => upTo(deathTime, Math.min(t, time[i]!))),
    endAt: Int32Array.from(time, (t) => upTo(deathTime, t)),
  };
  const { rowOf, ...rows } = alikeRows(patients);
  return reweighed({
    ...{ n, left, right, middle, rowOf, ...rows, deathTime },
    deathsBefore: Int32Array.from(middle, (t) => below(deathTime, t)),
  }, weight);
}

type Rows = Pick<
  VisitDesign,
  "first" | "last" | "isFound" | "death" | "clearAt" | "foundAt" | "endAt"
>;

/** Patients whose every column is the same, as one row. */
function alikeRows(patients: Rows): Rows & { rowOf: Int32Array } {
  const columns = Object.values(patients);
  const places = new Map<string, number>();
  const kept: number[] = [];
  const rowOf = patients.first.map((_, i) => {
    const key = columns.map((column) => column[i]).join();
    const before = places.get(key);
    if (before !== undefined) return before;
    places.set(key, kept.length);
    return kept.push(i) - 1;
  });
  const whole = (column: Int32Array) => Int32Array.from(kept, (i) => column[i]!);
  const flag = (column: Uint8Array) => Uint8Array.from(kept, (i) => column[i]!);
  return {
    rowOf,
    first: whole(patients.first),
    last: whole(patients.last),
    isFound: flag(patients.isFound),
    death: flag(patients.death),
    clearAt: whole(patients.clearAt),
    foundAt: whole(patients.foundAt),
    endAt: whole(patients.endAt),
  };
}

/**
 * The same patients with other weights, some of which may be 0. The places stay: where a patient is
 * left out several of them may become one interval, and how mass lies inside that
 * is not determined.
 */
export function reweighed(
  design: Omit<VisitDesign, "weight" | "dying" | "alive" | "total">,
  patients: Float64Array,
): VisitDesign {
  const { rowOf, endAt, death, deathTime } = design;
  const weight = new Float64Array(endAt.length);
  let total = 0;
  for (let i = 0; i < patients.length; i++) {
    weight[rowOf[i]!]! += patients[i]!;
    total += patients[i]!;
  }
  const dying = new Float64Array(deathTime.length);
  const alive = new Float64Array(deathTime.length);
  for (let row = 0; row < weight.length; row++) {
    const end = endAt[row]!;
    if (end > 0) alive[end - 1]! += weight[row]!;
    if (death[row] === 1) dying[end - 1]! += weight[row]!;
  }
  for (let v = deathTime.length - 2; v >= 0; v--) alive[v]! += alive[v + 1]!;
  return { ...design, weight, dying, alive, total };
}

/** How many of the ascending values are at most t. */
export function upTo(values: Float64Array, t: number): number {
  let low = 0;
  let high = values.length;
  while (low < high) {
    const middle = (low + high) >>> 1;
    if (values[middle]! <= t) low = middle + 1;
    else high = middle;
  }
  return low;
}

/** How many of the ascending values are less than t. */
function below(values: Float64Array, t: number): number {
  const through = upTo(values, t);
  return through > 0 && values[through - 1] === t ? through - 1 : through;
}
