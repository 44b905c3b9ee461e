import {
  binaryColumn,
  checkChoice,
  checkDataColumns,
  DataError,
  meanOf,
  numberColumn,
  type Numbers,
  orderOf,
  quantileOfSorted,
} from "../../numerics/mod.ts";

/** Whom a weighted comparison speaks of. */
export type Estimand = "everyone" | "treated" | "overlap";

/**
 * Weights that make both groups resemble one population, from a propensity score e.
 *
 * | estimand | treated | control | whom it speaks of |
 * | --- | --- | --- | --- |
 * | everyone | 1 / e | 1 / (1 - e) | all patients |
 * | treated | 1 | e / (1 - e) | those who were treated |
 * | overlap | 1 - e | e | those who could have had either |
 *
 * `stabilized` multiplies by constants, which changes no weighted mean or curve within a group but
 * the weight of one group against the other in a regression: everyone, by each group's share of the
 * rows; treated, controls by (1 - p) / p with p the share treated; overlap, all rows alike, to a
 * mean of 1. `truncate` then replaces weights beyond two percentiles of all weights (type 7) by
 * those percentiles; what is estimated is then no longer exactly the estimand. Cost O(n).
 *
 * Overlap weights from a logistic regression balance the means of its covariates exactly.
 *
 * @example
 * ```ts
 * import { balancingWeights } from "mitral";
 * balancingWeights({ treated: [1, 0], score: [0.8, 0.4] }, { estimand: "overlap" }); // [0.2, 0.4]
 * ```
 * @param data.score Strictly between 0 and 1: where it is not, one group has nobody like that.
 * @param options.truncate Two fractions such as [0.01, 0.99].
 * @throws {DataError}
 * @see Li, Morgan & Zaslavsky (2018) JASA 113:390-400; stabilised and truncated weights: Cole &
 * Hernan (2008) Am J Epidemiol 168:656-664.
 */
export function balancingWeights(
  data: { treated: Numbers; score: Numbers },
  options: { estimand: Estimand; stabilized?: boolean; truncate?: [low: number, high: number] },
): Float64Array {
  checkDataColumns("balancingWeights", data, ["treated", "score"]);
  const estimand = checkChoice("estimand", options.estimand, ["everyone", "treated", "overlap"]);
  const treated = binaryColumn("treated", data.treated);
  const n = treated.length;
  const score = numberColumn("score", data.score, { length: n });
  const weight = new Float64Array(n);
  let count = 0;
  for (let i = 0; i < n; i++) {
    const e = score[i]!;
    if (!(e > 0 && e < 1)) throw new DataError("score", "strictly between 0 and 1", e, i);
    const one = treated[i] === 1;
    if (one) count++;
    if (estimand === "everyone") weight[i] = 1 / (one ? e : 1 - e);
    else if (estimand === "treated") weight[i] = one ? 1 : e / (1 - e);
    else weight[i] = one ? 1 - e : e;
  }
  if (count === 0 || count === n) {
    throw new DataError("treated", "1 in some rows and 0 in others", data.treated);
  }
  if (options.stabilized) stabilize(weight, treated, estimand, count / n);
  if (options.truncate) truncate(weight, options.truncate);
  return weight;
}

function stabilize(weight: Float64Array, treated: Uint8Array, estimand: Estimand, share: number) {
  const mean = meanOf(weight);
  const [one, zero] = estimand === "everyone"
    ? [share, 1 - share]
    : estimand === "treated"
    ? [1, (1 - share) / share]
    : [1 / mean, 1 / mean];
  for (let i = 0; i < weight.length; i++) weight[i]! *= treated[i] === 1 ? one : zero;
}

function truncate(weight: Float64Array, [low, high]: [number, number]): void {
  if (!(low >= 0 && low < high && high <= 1)) {
    throw new DataError("truncate", "two fractions, 0 <= low < high <= 1", `[${low}, ${high}]`);
  }
  const sorted = Float64Array.from(orderOf(weight), (row) => weight[row]!);
  const smallest = quantileOfSorted(sorted, low);
  const largest = quantileOfSorted(sorted, high);
  for (let i = 0; i < weight.length; i++) {
    weight[i] = Math.min(largest, Math.max(smallest, weight[i]!));
  }
}
