import {
  checkDataColumns,
  checkNumber,
  DataError,
  distributions,
  factorSymmetric,
  FOLLOW_UP,
  type FollowUp,
  followUpColumns,
  groupColumn,
  type Labels,
  solveFactored,
  type Test,
} from "../../numerics/mod.ts";
import { bucket, type Steps, walk } from "./gray-steps.ts";

/** One group of {@link grayTest}. */
export interface GrayGroup {
  /** Label of the group. */
  group: string | number;
  /** Rows. */
  n: number;
  /** Events of the cause. */
  observed: number;
  /** Events expected if all groups had one cumulative incidence. */
  expected: number;
}

/**
 * Gray's test that k groups have the same cumulative incidence of one cause.
 *
 * The competing-events counterpart of the log-rank test: it compares hazards of the
 * subdistribution, in which those with a competing event stay at risk. With, in group k,
 * R_k(t) = Y_k(t) (1 - F_k(t-)) / S_k(t-) the adjusted number at risk (S_k the event-free
 * probability over all causes),
 *
 *   score_k = sum over t of (1 - F(t-))^rho (d_k - d R_k / R),
 *
 * F the incidence pooled over groups. The variance is that of the martingale form of the score
 * under one common F (Gray 1988, section 3), with the hypergeometric factor 1 - (d - 1)/(n - 1) at
 * tied times. Statistic: score' V^-1 score, chi-square on k - 1 degrees of freedom, fewer where a
 * group never had anyone at risk at an event. Scores and variances add up over strata.
 *
 * rho: 0 weighs all times alike; above 0 early times more, below 0 late times.
 * Ties: events, then censorings, then entries. Delayed entry: at risk on (entry, time].
 * Weights are refused: the variance does not hold for them; use a regression with robust errors.
 * Cost: O(n log n + m k^3), m distinct times.
 *
 * @example
 * ```ts
 * import { grayTest } from "mitral";
 * const time = [1, 2, 2.5, 3, 4, 5, 5.5, 6, 7, 8, 9, 10];
 * const event = [1, 0, 2, 1, 0, 1, 0, 2, 0, 1, 0, 0];
 * const sex = ["F", "M", "F", "M", "M", "F", "F", "M", "F", "M", "F", "M"];
 * grayTest({ time, event, group: sex }, { cause: 1 }).pValue;
 * ```
 * @throws {DataError} on fewer than two groups, weights, or a value out of range.
 * @see Gray (1988) Ann Stat 16:1141-1154.
 */
export function grayTest(
  data: FollowUp & { group: Labels; stratum?: Labels },
  options: { cause: number; rho?: number },
): Test & { groups: GrayGroup[] } {
  checkDataColumns("grayTest", data, [...FOLLOW_UP, "group", "stratum"]);
  const { rho = 0 } = options;
  const cause = checkNumber(
    "cause",
    options.cause,
    (c) => Number.isInteger(c) && c > 0,
    "1, 2, ...",
  );
  checkNumber("rho", rho, Number.isFinite, "a finite number");
  if (data.weight !== undefined) {
    throw new DataError("weight", "left out, as this test is not defined for weights", data.weight);
  }
  const columns = followUpColumns(data, { causes: true });
  const group = groupColumn("group", data.group, columns.n);
  const k = group.labels.length;
  if (k < 2) throw new DataError("group", "at least two groups", `${k}`);
  const stratum = data.stratum === undefined
    ? { codes: new Int32Array(columns.n), labels: [0] }
    : groupColumn("stratum", data.stratum, columns.n);

  const sums = {
    score: new Float64Array(k),
    variance: new Float64Array(k * k),
    observed: new Float64Array(k),
    expected: new Float64Array(k),
  };
  const byStratum = bucket(columns.order, stratum.codes, stratum.labels.length);
  const entries = columns.entryOrder &&
    bucket(columns.entryOrder, stratum.codes, stratum.labels.length);
  byStratum.forEach((rows, s) => {
    const steps = walk(columns, rows, entries?.[s], group.codes, k, cause);
    addStratum(sums, steps, k, rho);
  });

  // the scores add up to 0: the last group is left out
  const reduced = new Float64Array((k - 1) * (k - 1));
  for (let i = 0; i < k - 1; i++) {
    for (let j = 0; j < k - 1; j++) reduced[i * (k - 1) + j] = sums.variance[i * k + j]!;
  }
  const factor = factorSymmetric(reduced, k - 1);
  const score = sums.score.subarray(0, k - 1);
  const solved = solveFactored(factor, score);
  let statistic = 0;
  for (let i = 0; i < k - 1; i++) statistic += score[i]! * solved[i]!;
  const degreesOfFreedom = k - 1 - factor.dropped.length;
  const counts = new Int32Array(k);
  for (let i = 0; i < columns.n; i++) counts[group.codes[i]!]!++;
  return {
    statistic,
    degreesOfFreedom,
    pValue: degreesOfFreedom > 0 ? distributions.chiSquareUpper(statistic, degreesOfFreedom) : 1,
    groups: group.labels.map((label, g) => ({
      group: label,
      n: counts[g]!,
      observed: sums.observed[g]!,
      expected: sums.expected[g]!,
    })),
  };
}

/** Adds one stratum's scores and variance. */
function addStratum(
  sums: {
    score: Float64Array;
    variance: Float64Array;
    observed: Float64Array;
    expected: Float64Array;
  },
  steps: Steps,
  k: number,
  rho: number,
): void {
  const { count, atRisk, own, other, before, after, incidence } = steps;
  // Forwards: scores, and the pooled incidence F from dF = d / sum of (Y_k / S_k).
  const pooledBefore = new Float64Array(count + 1);
  const exposure = new Float64Array(count); // sum of Y_k / S_k(t-)
  const events = new Float64Array(count);
  for (let j = 0; j < count; j++) {
    let adjusted = 0; // sum of R_k
    for (let g = 0, at = j * k; g < k; g++, at++) {
      if (atRisk[at] === 0) continue;
      exposure[j]! += atRisk[at]! / before[at]!;
      adjusted += atRisk[at]! * (1 - incidence[at]!) / before[at]!;
      events[j]! += own[at]!;
    }
    pooledBefore[j + 1] = pooledBefore[j]!;
    if (events[j] === 0) continue;
    pooledBefore[j + 1] = Math.min(1, pooledBefore[j]! + events[j]! / exposure[j]!);
    const emphasis = Math.pow(1 - pooledBefore[j]!, rho);
    for (let g = 0, at = j * k; g < k; g++, at++) {
      if (atRisk[at] === 0) continue;
      const expected = events[j]! * atRisk[at]! * (1 - incidence[at]!) / (before[at]! * adjusted);
      sums.observed[g]! += own[at]!;
      sums.expected[g]! += expected;
      sums.score[g]! += emphasis * (own[at]! - expected);
    }
  }
  // Backwards: the influence of an event at u in group g on score i is, for the cause,
  //   S (a_ig(u) + (1 - (1 - F)/S) T_ig(u)) / Y,   for another,   -(1 - F) T_ig(u) / Y,
  // with a_ig = emphasis (delta_ig rho_g - rho_i rho_g / rho), rho_g = Y_g / S_g(u-), and
  // T_ig(u) = the sum of a_ig dF / (1 - F(-)) over the times after u.
  const tail = new Float64Array(k * k);
  const now = new Float64Array(k * k);
  const influence = new Float64Array(k);
  const add = (scale: number) => {
    for (let i = 0; i < k; i++) {
      for (let l = 0; l < k; l++) {
        sums.variance[i * k + l]! += scale * influence[i]! * influence[l]!;
      }
    }
  };
  for (let j = count - 1; j >= 0; j--) {
    const base = j * k;
    const d = events[j]!;
    const pooled = pooledBefore[j + 1]!;
    const step = d / exposure[j]!;
    if (d > 0) {
      const emphasis = Math.pow(1 - pooledBefore[j]!, rho);
      for (let i = 0; i < k; i++) {
        for (let g = 0; g < k; g++) {
          const own = atRisk[base + g]! > 0 ? atRisk[base + g]! / before[base + g]! : 0;
          const across = atRisk[base + i]! > 0 ? atRisk[base + i]! / before[base + i]! : 0;
          now[i * k + g] = emphasis * own * ((i === g ? 1 : 0) - across / exposure[j]!);
        }
      }
    }
    for (let g = 0, at = base; g < k; g++, at++) {
      if (atRisk[at] === 0) continue;
      const free = before[at]!;
      if (d > 0) {
        const part = after[at]! > 0 ? 1 - (1 - pooled) / after[at]! : 1;
        for (let i = 0; i < k; i++) influence[i] = now[i * k + g]! + part * tail[i * k + g]!;
        const tied = d > 1 ? 1 - (d - 1) / (exposure[j]! * free - 1) : 1;
        add(tied * free * step / atRisk[at]!);
      }
      if (other[at]! > 0 && after[at]! > 0) {
        const part = (1 - pooled) / after[at]!;
        for (let i = 0; i < k; i++) influence[i] = part * tail[i * k + g]!;
        const tied = other[at]! > 1 ? 1 - (other[at]! - 1) / (atRisk[at]! - 1) : 1;
        add(tied * free * free * other[at]! / (atRisk[at]! * atRisk[at]!));
      }
    }
    if (d > 0 && pooledBefore[j]! < 1) {
      const scale = step / (1 - pooledBefore[j]!);
      for (let i = 0; i < k * k; i++) tail[i]! += scale * now[i]!;
    }
  }
}
