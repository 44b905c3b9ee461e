import { DataError } from "../../../lib/numerics/columns/errors.ts";

/** The mean of drawn values, and their sum of squares: a statistic that a worker can be told of. */
export function means(x: Float64Array) {
  return (rows: Int32Array) => {
    if (rows[0] === 3) throw new DataError("rows", "a draw that does not begin with 3", rows[0]);
    let [sum, squares] = [0, 0];
    for (const row of rows) {
      sum += x[row]!;
      squares += x[row]! ** 2;
    }
    return [sum / rows.length, squares];
  };
}

/** A statistic with a fault of its own. */
export function faulty(calls: number) {
  return () => {
    if (calls-- === 0) throw new TypeError("a fault in the statistic");
    return [1];
  };
}
