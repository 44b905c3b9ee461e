import type { Numbers } from "./columns.ts";

/**
 * The values of a column in some rows, in their order. A loop: searches ask for this
 * thousands of times.
 */
export function valuesAt(column: Numbers, rows: ArrayLike<number>): Float64Array {
  const values = new Float64Array(rows.length);
  for (let k = 0; k < values.length; k++) values[k] = column[rows[k]!]!;
  return values;
}

/** Where each row of a table stands among some of its rows; -1 where it does not. Cost O(n). */
export function placesOf(rows: ArrayLike<number>): (row: number) => number {
  let last = -1;
  for (let k = 0; k < rows.length; k++) last = Math.max(last, rows[k]!);
  const places = new Int32Array(last + 1).fill(-1);
  for (let k = 0; k < rows.length; k++) places[rows[k]!] = k;
  return (row) => row <= last ? places[row]! : -1;
}
