import {
  checkChoice,
  DataError,
  distributions,
  numberColumn,
  type Numbers,
  orderOf,
} from "../../numerics/mod.ts";

/** A rank-sum test. */
export interface RankSum {
  /** Mann and Whitney's U of a: pairs in which a is larger, ties counting a half. */
  statistic: number;
  /** Two-sided p value. */
  pValue: number;
  /** Where the p value comes from. */
  method: "exact" | "normal";
  /**
   * Of the normal approximation, whichever method gave the p value; 0 where all values are alike.
   */
  z: number;
  /** Hodges and Lehmann's shift: the median of all differences a - b. */
  difference: number;
}

/**
 * Rank-sum test of Wilcoxon, Mann and Whitney.
 *
 * Exact without ties and with fewer than 50 values in each group, else the normal approximation
 * with the variance corrected for ties, n1 n2 / 12 ((N + 1) - sum(t^3 - t) / (N (N - 1))). Cost O(n
 * log n), for the exact p value O(n1^2 n2^2).
 *
 * @param options.alternative "two-sided" (the default), "greater" (a tends to be larger) or "less".
 * @param options.continuity Whether the normal approximation moves U by 1/2 towards
 * its mean; false.
 * @param options.method To ask for one; "exact" without ties only.
 * @throws {DataError}
 * @see Mann & Whitney (1947) Ann Math Stat 18:50-60; Hodges & Lehmann (1963) ibid. 34:598-611.
 */
export function rankSumTest(
  a: Numbers,
  b: Numbers,
  options: {
    alternative?: "two-sided" | "greater" | "less";
    continuity?: boolean;
    method?: "exact" | "normal";
  } = {},
): RankSum {
  const alternative = checkChoice("alternative", options.alternative ?? "two-sided", [
    "two-sided",
    "greater",
    "less",
  ]);
  const first = sortedColumn("a", a);
  const second = sortedColumn("b", b);
  const { statistic, ties } = mannWhitney(first, second);
  const [n1, n2] = [first.length, second.length];
  const exactFits = ties === 0;
  const method = options.method
    ? checkChoice("method", options.method, ["exact", "normal"])
    : exactFits && n1 < 50 && n2 < 50
    ? "exact"
    : "normal";
  if (method === "exact" && !exactFits) {
    throw new DataError("method", 'such as "normal" where values are tied', method);
  }
  const n = n1 + n2;
  const away = statistic - n1 * n2 / 2;
  const deviation = Math.sqrt(n1 * n2 / 12 * ((n + 1) - ties / (n * (n - 1))));
  const correction = options.continuity ? 0.5 : 0;
  const moved = (towards: number) => deviation > 0 ? (away - towards) / deviation : 0;
  const z = moved(Math.sign(away) * Math.min(correction, Math.abs(away)));
  return {
    statistic,
    pValue: method === "exact"
      ? exactP(statistic, n1, n2, alternative)
      : alternative === "two-sided"
      ? distributions.normalTwoSided(z)
      : alternative === "greater"
      ? distributions.normalUpper(moved(correction))
      : distributions.normalLower(moved(-correction)),
    method,
    z,
    difference: medianDifference(first, second),
  };
}

function sortedColumn(name: string, values: Numbers): Float64Array {
  const column = numberColumn(name, values);
  if (column.length === 0) throw new DataError(name, "at least one value", values);
  return Float64Array.from(orderOf(column), (row) => column[row]!);
}

/** U of the first sample, and the sum of t^3 - t over runs of t equal values. Both sorted. */
function mannWhitney(a: Float64Array, b: Float64Array): { statistic: number; ties: number } {
  let statistic = 0;
  let ties = 0;
  for (let i = 0, j = 0; i < a.length || j < b.length;) {
    const value = Math.min(i < a.length ? a[i]! : Infinity, j < b.length ? b[j]! : Infinity);
    const [fromI, fromJ] = [i, j];
    while (i < a.length && a[i] === value) i++;
    while (j < b.length && b[j] === value) j++;
    const [own, other] = [i - fromI, j - fromJ];
    statistic += own * (fromJ + other / 2);
    ties += (own + other) ** 3 - (own + other);
  }
  return { statistic, ties };
}

function exactP(u: number, n1: number, n2: number, alternative: string): number {
  // ways[k]: arrangements with U = k, from the generating function, a Gaussian binomial
  // coefficient. They are symmetric, and rounding runs upwards: the lower half is enough.
  const size = n1 * n2;
  const half = Math.floor(size / 2);
  const ways = new Float64Array(half + 1);
  ways[0] = 1;
  for (let i = 1; i <= n1; i++) {
    for (let k = half; k >= n2 + i; k--) ways[k]! -= ways[k - n2 - i]!;
    for (let k = i; k <= half; k++) ways[k]! += ways[k - i]!;
  }
  const upTo = (k: number) => {
    let sum = 0;
    for (let j = 0; j <= k; j++) sum += ways[j]!;
    return sum;
  };
  const total = size % 2 === 1 ? 2 * upTo(half) : 2 * upTo(half - 1) + ways[half]!;
  const below = (k: number) => k <= half ? upTo(k) : total - upTo(size - k - 1);
  const atMost = below(u);
  const atLeast = below(size - u);
  if (alternative === "greater") return atLeast / total;
  if (alternative === "less") return atMost / total;
  return Math.min(1, 2 * Math.min(atMost, atLeast) / total);
}

/**
 * The median of all differences a - b without making them: bisection on the ordered bits of a
 * double, counting at each of at most 64 steps in O(n) how many differences do not exceed it.
 */
function medianDifference(a: Float64Array, b: Float64Array): number {
  const pairs = a.length * b.length;
  const upper = orderStatistic(a, b, Math.floor(pairs / 2) + 1);
  return pairs % 2 === 1 ? upper : (orderStatistic(a, b, pairs / 2) + upper) / 2;
}

function orderStatistic(a: Float64Array, b: Float64Array, rank: number): number {
  const countUpTo = (d: number) => {
    let count = 0;
    let j = b.length;
    // as a rises, so does a - b: ever fewer b are small enough to exceed d
    for (let i = a.length - 1; i >= 0; i--) {
      while (j > 0 && a[i]! - b[j - 1]! <= d) j--;
      count += b.length - j;
    }
    return count;
  };
  let low = keyOf(a[0]! - b.at(-1)!);
  let high = keyOf(a.at(-1)! - b[0]!);
  while (low < high) {
    const middle = (low + high) >> 1n;
    if (countUpTo(valueOf(middle)) >= rank) high = middle;
    else low = middle + 1n;
  }
  return valueOf(low);
}

const scratch = new DataView(new ArrayBuffer(8));

/** A whole number that orders as the double does. */
function keyOf(value: number): bigint {
  scratch.setFloat64(0, value + 0);
  const bits = scratch.getBigInt64(0);
  return bits >= 0n ? bits : -(bits & 0x7fffffffffffffffn);
}

function valueOf(key: bigint): number {
  scratch.setBigInt64(0, key >= 0n ? key : -key);
  return key >= 0n ? scratch.getFloat64(0) : -scratch.getFloat64(0);
}
