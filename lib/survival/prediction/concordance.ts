import {
  checkConfidence,
  checkDataColumns,
  DataError,
  distributions,
  FOLLOW_UP,
  type FollowUp,
  followUpColumns,
  groupColumn,
  type Interval,
  type Labels,
  numberColumn,
  type Numbers,
  orderOf,
} from "../../numerics/mod.ts";
import { concordanceOf, coxDesign } from "../cox/mod.ts";

/**
 * Harrell's concordance of a score that is given, not fitted here: the chance that of two patients
 * whose order is known the one with the higher score fails first.
 *
 * A pair is comparable when one fails while the other is still under observation, a censoring at
 * that very time being later, and both are in one stratum; two failures at one time are not. Equal
 * scores count a half, and only equal ones are tied. Pairs count with the product of their weights.
 * Standard error: infinitesimal jackknife, summed within clusters; limits estimate -+ z s within 0
 * to 1. Cost O(n log n).
 *
 * @example
 * ```ts
 * import { concordance } from "mitral";
 * concordance({ time: [1, 2, 3, 4], event: [1, 1, 0, 1], score: [4, 2, 3, 1] }).estimate; // 0.8
 * ```
 * @param data.score Higher means an earlier event.
 * @throws {DataError} for a value out of range, or no comparable pair.
 * @see Harrell, Lee & Mark (1996) Stat Med 15:361-387.
 */
export function concordance(
  data: FollowUp & { score: Numbers; stratum?: Labels; cluster?: Labels },
  options: { confidence?: number } = {},
): Interval & { concordant: number; discordant: number; tied: number } {
  checkDataColumns("concordance", data, [...FOLLOW_UP, "score", "stratum", "cluster"]);
  const z = distributions.normalUpperQuantile((1 - checkConfidence(options.confidence)) / 2);
  const follow = followUpColumns(data);
  const { n } = follow;
  const score = ranks(numberColumn("score", data.score, { length: n }));
  const stratum = data.stratum && groupColumn("stratum", data.stratum, n);
  const cluster = data.cluster && groupColumn("cluster", data.cluster, n);
  const design = coxDesign(follow, [], stratum);
  const { concordant, discordant, tiedScore, estimate, standardError } = concordanceOf(
    design,
    Float64Array.from(design.rowAt, (row) => score[row]!),
    cluster && {
      codeAt: Int32Array.from(design.rowAt, (row) => cluster.codes[row]!),
      count: cluster.labels.length,
    },
  );
  if (!(concordant + discordant + tiedScore > 0)) {
    throw new DataError("event", "1 in a row that some other row outlasts", "none");
  }
  return {
    estimate,
    standardError,
    lower: Math.max(0, estimate - z * standardError),
    upper: Math.min(1, estimate + z * standardError),
    concordant,
    discordant,
    tied: tiedScore,
  };
}

/** Whole numbers in the order of the values, equal where these are equal. */
function ranks(values: Float64Array): Float64Array {
  const rank = new Float64Array(values.length);
  let last = NaN;
  let at = 0;
  for (const row of orderOf(values)) {
    if (values[row] !== last) at++;
    last = values[row]!;
    rank[row] = at;
  }
  return rank;
}
