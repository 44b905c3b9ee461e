import {
  checkNumber,
  DataError,
  numberColumn,
  type Numbers,
  orderOf,
  quantileOfSorted,
} from "../../numerics/mod.ts";

/**
 * Basis of a restricted cubic spline: smooth between the knots, straight beyond the outer ones.
 *
 * With k knots, k - 1 columns: x, then for each j = 1 .. k - 2 the truncated cubic
 * (x - t_j)+^3 - (x - t_(k-1))+^3 (t_k - t_j)/(t_k - t_(k-1)) + (x - t_k)+^3 (t_(k-1) - t_j)/(t_k -
 * t_(k-1)), divided by (t_k - t_1)^2, so that every column is in the unit of x. Cost O(n k).
 *
 * @example
 * ```ts
 * import { splineBasis } from "mitral";
 * const [linear, bend] = splineBasis([20, 50, 80], [30, 50, 70]);
 * ```
 * @param x Finite values.
 * @param knots At least three, ascending, in the unit of x.
 * @throws {DataError}
 * @see Stone & Koo (1985) Proc Stat Comp Sect ASA 45-48; Durrleman & Simon (1989)
 * Stat Med 8:551-561.
 */
export function splineBasis(x: Numbers, knots: number[]): Float64Array[] {
  const column = numberColumn("x", x);
  if (knots.length < 3) throw new DataError("knots", "at least three knots", knots);
  const at = numberColumn("knots", knots);
  for (let j = 1; j < at.length; j++) {
    if (!(at[j]! > at[j - 1]!)) throw new DataError("knots", "ascending", knots[j], j);
  }
  const columns = [column.slice()];
  for (let j = 1; j < at.length - 1; j++) columns.push(column.map(splineBend(at, j)));
  return columns;
}

/**
 * One bent column of {@link splineBasis}, from 1, as a function of one value; nothing is checked.
 */
export function splineBend(at: ArrayLike<number>, column: number): (value: number) => number {
  const k = at.length;
  const last = at[k - 1]!;
  const inner = at[k - 2]!;
  const knot = at[column - 1]!;
  const unit = (last - at[0]!) ** 2;
  const toInner = (last - knot) / (last - inner);
  const toLast = (inner - knot) / (last - inner);
  return (value) =>
    (cube(value - knot) - cube(value - inner) * toInner + cube(value - last) * toLast) / unit;
}

// Where to put 3 to 7 knots, as quantiles (common practice after Harrell 2001, table 2.3).
const places: Record<number, number[]> = {
  3: [0.1, 0.5, 0.9],
  4: [0.05, 0.35, 0.65, 0.95],
  5: [0.05, 0.275, 0.5, 0.725, 0.95],
  6: [0.05, 0.23, 0.41, 0.59, 0.77, 0.95],
  7: [0.025, 0.1833, 0.3417, 0.5, 0.6583, 0.8167, 0.975],
};

/**
 * Knots for {@link splineBasis} at fixed quantiles of x (type 7): the tenth, fiftieth and ninetieth
 * percentile for three, and so on to seven.
 *
 * @throws {DataError} if x has too few distinct values for the knots to differ.
 * @see Harrell (2001) Regression Modeling Strategies, section 2.4.
 */
export function splineKnots(x: Numbers, count = 4): number[] {
  checkNumber("count", count, (c) => c in places, "3, 4, 5, 6 or 7");
  const column = numberColumn("x", x);
  if (column.length === 0) throw new DataError("x", "at least one value", x);
  const order = orderOf(column);
  const sorted = Float64Array.from(order, (row) => column[row]!);
  const knots = places[count]!.map((p) => quantileOfSorted(sorted, p));
  for (let j = 1; j < knots.length; j++) {
    if (!(knots[j]! > knots[j - 1]!)) {
      throw new DataError("x", `spread out enough for ${count} different knots`, knots[j]);
    }
  }
  return knots;
}

function cube(value: number): number {
  return value > 0 ? value * value * value : 0;
}
