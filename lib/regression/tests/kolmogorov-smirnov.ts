import { DataError, numberColumn, type Numbers, orderOf } from "../../numerics/mod.ts";

/**
 * Two-sample test of Kolmogorov and Smirnov: the largest distance between two empirical
 * distribution functions, with the asymptotic p value (too large with few or tied values). Cost O(n
 * log n).
 *
 * @throws {DataError}
 * @see Smirnov (1948) Ann Math Stat 19:279-281.
 */
export function kolmogorovSmirnovTest(
  a: Numbers,
  b: Numbers,
): { statistic: number; pValue: number } {
  const first = sorted("a", a);
  const second = sorted("b", b);
  let statistic = 0;
  for (let i = 0, j = 0; i < first.length && j < second.length;) {
    const value = Math.min(first[i]!, second[j]!);
    while (i < first.length && first[i] === value) i++;
    while (j < second.length && second[j] === value) j++;
    statistic = Math.max(statistic, Math.abs(i / first.length - j / second.length));
  }
  const size = first.length * second.length / (first.length + second.length);
  return { statistic, pValue: kolmogorovUpper(Math.sqrt(size) * statistic) };
}

function sorted(name: string, values: Numbers): Float64Array {
  const column = numberColumn(name, values);
  if (column.length === 0) throw new DataError(name, "at least one value", values);
  return Float64Array.from(orderOf(column), (row) => column[row]!);
}

/** P(K > x) of Kolmogorov's distribution; two series, each where it converges at once. */
function kolmogorovUpper(x: number): number {
  if (x <= 0) return 1;
  let sum = 0;
  if (x < 1) {
    for (let k = 1; k <= 20; k++) sum += Math.exp(-((2 * k - 1) ** 2) * Math.PI ** 2 / (8 * x * x));
    return 1 - Math.sqrt(2 * Math.PI) / x * sum;
  }
  for (let k = 1; k <= 20; k++) sum += (k % 2 === 1 ? 1 : -1) * Math.exp(-2 * k * k * x * x);
  return 2 * sum;
}
