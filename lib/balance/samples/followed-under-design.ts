import type { EndpointFollowUp } from "../../cohort/follow-up/mod.ts";
import { DataError, extentOf, placesOf, raised } from "../../numerics/mod.ts";

/** Follow-up of one endpoint in the patients of a design, ready for the estimators. */
export interface DesignedFollowUp {
  /** How the groups were made alike. */
  design: "unadjusted" | "matched" | "weighted";
  /** Years. */
  time: Float64Array;
  /** 0 censored; otherwise `causes[event - 1]` of the endpoint came first. */
  event: Int32Array;
  /** 1 = repair, 0 = replacement: differences read second minus first, repair minus replacement. */
  group: Uint8Array;
  /** The matched pair a row belongs to: rows of one pair are one independent unit. */
  cluster?: Int32Array;
  /** Balancing weight. */
  weight?: Float64Array;
  /**
   * Where missing covariates are imputed: the same under the design of each completed set, for
   * estimates that are made in each and pooled.
   */
  inSets?: readonly DesignedFollowUp[];
}

/** Weights of one sample, or of it and of each completed set: see `WeightedSample.inSets`. */
export type SampleWeights =
  | Float64Array
  | { weight: Float64Array; inSets?: readonly { weight: Float64Array }[] };

/** What of follow-up is needed: whom it is of, as rows of the analysis, and what came of them. */
export type FollowedRows =
  & Pick<EndpointFollowUp, "rows" | "time" | "event" | "treated">
  & Partial<Pick<EndpointFollowUp, "leftOut">>;

/** What of a matched sample is needed: its patients and the pair each belongs to. */
export interface PairedRows {
  /** Rows of the analysis. */
  rows: Int32Array;
  /** Pair of each of these rows. */
  pairId: Int32Array;
  /** What each counts for, where a repair may have several replacements. */
  rowWeight?: Float64Array;
  /** The pairs of each completed set, where missing covariates are imputed. */
  inSets?: readonly PairedRows[];
}

/**
 * Everybody's follow-up, without any adjustment.
 *
 * Endpoints that not everybody is at risk of are of those at risk.
 *
 * @throws {DataError} if nobody is: it says why they are not.
 */
export function unadjusted(followUp: FollowedRows): DesignedFollowUp {
  const { rows, time, event, treated, leftOut = [] } = followUp;
  if (rows.length === 0) {
    const why = leftOut.map(({ reason }) => reason).join("; ");
    const expected = "of at least one patient at risk of the endpoint" +
      (why === "" ? "" : ` (left out: ${why})`);
    throw new DataError("followUp", expected);
  }
  return { design: "unadjusted", time, event, group: treated };
}

/**
 * Follow-up of the matched patients, each with its pair as cluster.
 *
 * A patient not at risk of the endpoint (residual regurgitation, say) is left out alone: the
 * partner stays, as a cluster of one, so that no outcome depends on somebody else's. Where a set
 * has several replacements, each counts for its share of one.
 *
 * Without `cluster` limits take partners for strangers: too wide where their outcomes go together.
 * In simulated cohorts, where they hardly do, it makes no difference to coverage (DEVELOPERS.md).
 *
 * @throws {DataError} if the sample names a row twice (matching with replacement needs weights), or
 * nobody in it is at risk.
 */
export function underMatching(followUp: FollowedRows, sample: PairedRows): DesignedFollowUp {
  const most = extentOf(sample.rows)[1];
  const placeOf = placesOf(followUp.rows);
  const kept = new Int32Array(sample.rows.length);
  const pairs = new Int32Array(kept.length);
  const shares = new Float64Array(kept.length);
  const seen = new Uint8Array(Math.max(0, most + 1));
  let count = 0;
  for (let i = 0; i < kept.length; i++) {
    const row = sample.rows[i]!;
    if (seen[row] === 1) throw new DataError("sample.rows", "without repeats", row, i);
    seen[row] = 1;
    const at = placeOf(row);
    const pair = sample.pairId[i];
    if (at < 0 || pair === undefined) continue;
    kept[count] = at;
    pairs[count] = pair;
    shares[count++] = sample.rowWeight?.[i] ?? 1;
  }
  if (count === 0) {
    const expected =
      "at least one matched patient at risk of the endpoint (with no pair within the " +
      "caliper, plan a wider one, or weights)";
    throw new DataError("sample.rows", expected, "none");
  }
  const time = new Float64Array(count);
  const event = new Int32Array(count);
  const group = new Uint8Array(count);
  for (let k = 0; k < count; k++) {
    const at = kept[k]!;
    time[k] = followUp.time[at]!;
    event[k] = followUp.event[at]!;
    group[k] = followUp.treated[at]!;
  }
  const weight = shares.slice(0, count);
  return {
    design: "matched",
    time,
    event,
    group,
    cluster: pairs.slice(0, count),
    ...(weight.some((share) => share !== 1) ? { weight } : {}),
    ...(sample.inSets && { inSets: sample.inSets.map((own) => underMatching(followUp, own)) }),
  };
}

/**
 * The same, or null where no pair of the sample is at risk of the endpoint: the reader is warned,
 * and nothing matched is shown.
 *
 * @example
 * ```ts
 * import { followUpOf, matchedSample, openAnalysis, pairedFollowUp, survivalDifference } from "mitral";
 * const { analysis, study } = await openAnalysis();
 * const paired = pairedFollowUp(followUpOf(analysis, "death"), matchedSample(analysis, study));
 * const answer = paired && survivalDifference(paired, { times: [5] });
 * ```
 * @throws {DataError} as {@link underMatching}.
 */
export function pairedFollowUp(
  followUp: FollowedRows,
  sample: PairedRows,
): DesignedFollowUp | null {
  const placeOf = placesOf(followUp.rows);
  const hasBoth = ({ rows }: PairedRows) => {
    const has = (code: 0 | 1) =>
      rows.some((row) => {
        const at = placeOf(row);
        return at >= 0 && followUp.treated[at] === code;
      });
    return has(1) && has(0);
  };
  if ([sample, ...sample.inSets ?? []].every(hasBoth)) return underMatching(followUp, sample);
  raised(["No pair of patients within the caliper is at risk: matched results are not shown."]);
  return null;
}

/**
 * Everybody's follow-up with balancing weights.
 *
 * Overlap and treated weights can make the case mix change with the year of operation; then late
 * horizons, which rest on those operated early, speak of these (DEVELOPERS.md).
 *
 * @param weights One weight a patient of the analysis, above 0; or a sample with such weights,
 * which carries those of each completed set with it.
 * @throws {DataError} if a row of the follow-up has no weight, or nobody is at risk.
 */
export function underWeights(
  followUp: FollowedRows,
  weights: SampleWeights,
): DesignedFollowUp {
  const { weight, inSets = undefined } = weights instanceof Float64Array
    ? { weight: weights }
    : weights;
  const { rows } = followUp;
  const own = new Float64Array(rows.length);
  for (let i = 0; i < own.length; i++) {
    const value = weight[rows[i]!];
    if (value === undefined) throw new DataError("weight", "one a patient", value, i);
    own[i] = value;
  }
  return {
    ...unadjusted(followUp),
    design: "weighted",
    weight: own,
    ...(inSets && { inSets: inSets.map((set) => underWeights(followUp, set.weight)) }),
  };
}
