import { DataError } from "./errors.ts";
import type { SortedColumn } from "./order.ts";

/** Times closer than this fraction of the largest time count as tied. */
export const TIE_TOLERANCE = 1e-9;

/**
 * Merges times that differ by less than 1e-9 of the largest time, so that a time computed two ways
 * (days / 365.25 against a sum of years) cannot break a tie.
 *
 * Exit and entry times are walked together in ascending order; each run of neighbours closer than
 * the tolerance takes the value of its first member. The columns are returned as they came, not
 * copied, when nothing is near-tied (the usual case). Cost O(n), given the orders.
 *
 * @param time Exit times.
 * @param ordered Exit times sorted, and their order; `sorted` is written to where times are merged.
 * @param entry Entry times, one a row, with `entryOrder` the permutation that sorts them.
 * @throws {DataError} when merging would leave a row without any time at risk.
 */
export function snapTiedTimes(
  time: Float64Array,
  { order, sorted }: SortedColumn,
  entry?: Float64Array,
  entryOrder?: Uint32Array,
): { time: Float64Array; entry: Float64Array | undefined } {
  const n = time.length;
  const tolerance = TIE_TOLERANCE * sorted[n - 1]!;
  let snappedTime = time;
  let snappedEntry = entry;
  let first = -Infinity; // the value that the present run takes
  let last = -Infinity; // the previous value as it came
  let j = entryOrder ? 0 : n;
  for (let i = 0; i < n; i++) {
    const value = sorted[i]!;
    // entries strictly before this time take their place in the walk first
    for (; j < n && entry![entryOrder![j]!]! < value; j++) {
      const at = entry![entryOrder![j]!]!;
      if (at - last >= tolerance || at === last && first === last) first = at;
      else if (at !== first && at >= 0) {
        if (snappedEntry === entry) snappedEntry = entry!.slice();
        snappedEntry![entryOrder![j]!] = first;
      }
      last = at;
    }
    if (value !== last && value - last >= tolerance) first = value;
    if (first !== value) {
      if (snappedTime === time) snappedTime = time.slice();
      snappedTime[order[i]!] = first;
      sorted[i] = first;
    }
    last = value;
  }
  if (snappedEntry && (snappedTime !== time || snappedEntry !== entry)) {
    for (let row = 0; row < n; row++) {
      if (snappedEntry[row] === snappedTime[row]) {
        throw new DataError("entry", `clearly below its time ${time[row]}`, entry![row], row);
      }
    }
  }
  return { time: snappedTime, entry: snappedEntry };
}
