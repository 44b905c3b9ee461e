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
