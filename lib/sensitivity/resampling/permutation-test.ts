import {
  checkWhole,
  DataError,
  directionOf,
  meanOf,
  numberColumn,
  type Numbers,
  SeededRandom,
} from "../../numerics/mod.ts";

/** A difference of means and how often chance alone makes one as large. */
export interface PermutationTest {
  /** "a - b", or "b - a" where the reference is a. */
  direction: string;
  /** Of the means, along the direction. */
  difference: number;
  /** Two-sided. */
  pValue: number;
  /** Whether every assignment was counted; if not, a sample of them was drawn. */
  exact: boolean;
}

const MOST = 1e6;
const DRAWN = 99_999;

/**
 * Permutation test of a difference of means: the share of all ways to assign the values to the two
 * groups that give a difference at least as far from 0.
 *
 * Paired: the signs of the differences within pairs are turned in every way. Nothing is supposed of
 * the distribution but that without an effect every assignment was as likely; so it holds with few
 * patients and few events. Differences within 1e-9 of the largest value count as equal.
 *
 * Every assignment is counted where there are at most a million; else 99,999 are drawn, and p is
 * (1 + those as far) / (1 + drawn), which is never 0. Cost: O(assignments x smaller group) at most.
 *
 * @param options.assignments How many to draw, where not all are to be counted.
 * @param options.seed Of the draw, default 1.
 * @example
 * ```ts
 * import { permutationTest } from "mitral";
 * permutationTest([12.1, 9.4, 15.2], [8.3, 9.9, 7.7]).pValue; // 0.2
 * ```
 * @throws {DataError} on an empty group, or pairs of unlike length.
 * @see Fisher (1935) The Design of Experiments; Pitman (1937) Suppl JRSS 4:119-130; the p value of
 * a drawn sample: Phipson & Smyth (2010) Stat Appl Genet Mol Biol 9:39.
 */
export function permutationTest(
  a: Numbers,
  b: Numbers,
  options: {
    paired?: boolean;
    assignments?: number;
    seed?: number;
    reference?: "a" | "b";
  } = {},
): PermutationTest {
  const first = numberColumn("a", a);
  const second = numberColumn("b", b);
  for (const [name, column] of [["a", first], ["b", second]] as const) {
    if (column.length === 0) throw new DataError(name, "at least one value", column);
  }
  const { paired = false } = options;
  if (paired && first.length !== second.length) {
    throw new DataError("b", `of length ${first.length} (pairs)`, second);
  }
  const wanted = options.assignments === undefined
    ? undefined
    : checkWhole("assignments", options.assignments, 1);
  const random = () => new SeededRandom(options.seed ?? 1);
  const sums = paired
    ? signSums(first.map((value, pair) => value - second[pair]!))
    : groupSums(first, second);
  const { observed, count } = sums;
  const least = Math.abs(observed) - sums.tolerance;
  const asFar = (sum: number) => Math.abs(sum) >= least ? 1 : 0;
  const { direction, sign } = directionOf(["b", "a"], options.reference);
  const difference = sign * (meanOf(first) - meanOf(second));
  if (count <= (wanted ?? MOST)) {
    const far = sums.every(asFar);
    return { direction, difference, pValue: far / count, exact: true };
  }
  const drawn = wanted ?? DRAWN;
  const far = sums.some(asFar, drawn, random());
  return { direction, difference, pValue: (1 + far) / (1 + drawn), exact: false };
}

/** A sum that assignments change, 0 on average, and how to go through its values. */
interface Sums {
  observed: number;
  /** Number of assignments; may be Infinity. */
  count: number;
  tolerance: number;
  /** How many of all assignments have it. */
  every(has: (sum: number) => 0 | 1): number;
  /** How many of those drawn have it. */
  some(has: (sum: number) => 0 | 1, drawn: number, random: SeededRandom): number;
}

function signSums(differences: Float64Array): Sums {
  const n = differences.length;
  const walk = (pair: number, sum: number, has: (sum: number) => 0 | 1): number =>
    pair === n ? has(sum) : walk(pair + 1, sum + differences[pair]!, has) +
      walk(pair + 1, sum - differences[pair]!, has);
  return {
    observed: differences.reduce((sum, value) => sum + value, 0),
    count: 2 ** n,
    tolerance: 1e-9 * largest(differences),
    every: (has) => walk(0, 0, has),
    some(has, drawn, random) {
      let far = 0;
      for (let k = 0; k < drawn; k++) {
        let sum = 0;
        for (let pair = 0; pair < n; pair++) {
          sum += random.bits() < 0x80000000 ? differences[pair]! : -differences[pair]!;
        }
        far += has(sum);
      }
      return far;
    },
  };
}

/** Sums of the smaller group, all values taken from their common mean. */
function groupSums(first: Float64Array, second: Float64Array): Sums {
  const small = first.length <= second.length ? first : second;
  const size = small.length;
  const n = first.length + second.length;
  const values = new Float64Array(n);
  values.set(small);
  values.set(small === first ? second : first, size);
  // what rounding may have cost the values themselves
  const rounding = 1e-15 * largest(values);
  const mean = meanOf(values);
  for (let i = 0; i < n; i++) values[i]! -= mean;
  let count = 1;
  for (let k = 1; k <= size; k++) count = Math.round(count * (n - size + k) / k);
  const walk = (
    from: number,
    left: number,
    sum: number,
    has: (sum: number) => 0 | 1,
  ): number => {
    if (left === 0) return has(sum);
    let total = 0;
    for (let i = from; i <= n - left; i++) total += walk(i + 1, left - 1, sum + values[i]!, has);
    return total;
  };
  return {
    observed: values.subarray(0, size).reduce((sum, value) => sum + value, 0),
    count,
    tolerance: 1e-9 * largest(values) + n * rounding,
    every: (has) => walk(0, size, 0, has),
    some(has, drawn, random) {
      const deck = values.slice();
      let far = 0;
      for (let k = 0; k < drawn; k++) {
        let sum = 0;
        for (let i = 0; i < size; i++) {
          const j = i + random.integer(n - i);
          const held = deck[i]!;
          deck[i] = deck[j]!;
          deck[j] = held;
          sum += deck[i]!;
        }
        far += has(sum);
      }
      return far;
    },
  };
}

function largest(values: Float64Array): number {
  return values.reduce((most, value) => Math.max(most, Math.abs(value)), 0);
}
