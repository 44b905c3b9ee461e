import { DataError } from "./errors.ts";

/** Times closer than this fraction of the largest time count as tied. */
export const TIE_TOLERANCE = 1e-9;

/**
 * Merges times that differ by less than 1e-9 of the largest time, so that a time computed two ways
 * (days / 365.25 against a sum of years) cannot break a tie.
 *
 * Exit and entry times are walked together in ascending order; each run of neighbours closer than
 * the tolerance takes the value of its first member. The arrays are returned as they came, not
 * copied, when nothing is near-tied (the usual case). Cost O(n), given the orders.
 *
 * @param time Exit times.
 * @param order The permutation that sorts `time`.
 * @param entry Entry times, one a row, with `entryOrder` the permutation that sorts them.
 * @throws {DataError} when merging would leave a row without any time at risk.
 */
export function snapTiedTimes(
  time: Float64Array,
  order: Uint32Array,
  entry?: Float64Array,
  entryOrder?: Uint32Array,
): { time: Float64Array; entry: Float64Array | undefined } {
  const n = time.length;
  const tolerance = TIE_TOLERANCE * time[order[n - 1]!]!;
  let snappedTime = time;
  let snappedEntry = entry;
  let first = -Infinity; // the value that the present run takes
  let last = -Infinity; // the previous value as it came
  let i = 0;
  let j = entryOrder ? 0 : n;
  while (i < n || j < n) {
    const isTime = j >= n || (i < n && time[order[i]!]! <= entry![entryOrder![j]!]!);
    const row = isTime ? order[i++]! : entryOrder![j++]!;
    const value = isTime ? time[row]! : entry![row]!;
    if (value - last >= tolerance || value === last && first === last) first = value;
    else if (value !== first && value >= 0) {
      if (isTime) {
        if (snappedTime === time) snappedTime = time.slice();
        snappedTime[row] = first;
      } else {
        if (snappedEntry === entry) snappedEntry = entry!.slice();
        snappedEntry![row] = first;
      }
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
