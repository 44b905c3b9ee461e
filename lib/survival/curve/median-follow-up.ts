import {
  checkDataColumns,
  checkNumber,
  FOLLOW_UP,
  type FollowUp,
  followUpColumns,
} from "../../numerics/mod.ts";
import { curveOf, type KaplanMeierOptions } from "./kaplan-meier.ts";

/** Median follow-up with limits; NaN where it is not reached. */
export interface MedianFollowUp {
  /** The estimate. */
  estimate: number;
  /** Lower limit. */
  lower: number;
  /** Upper limit. */
  upper: number;
  /** Rows of data. */
  n: number;
  /** Rows whose follow-up ended without the event: the events of the reversed curve. */
  censored: number;
}

/**
 * Median follow-up by the reverse Kaplan-Meier method: how long subjects would have been followed
 * had none of them had an event.
 *
 * Censoring is the event and any event (of any cause) censors; at a tied time the subject with the
 * event is still at risk of being censored. Median, flat steps and limits as in kaplanMeier.
 * Without any censoring, follow-up is complete and the median is not reached (NaN).
 *
 * Units: the caller's time unit. Cost O(n log n).
 *
 * @example
 * ```ts
 * import { medianFollowUp } from "mitral";
 * medianFollowUp({ time: [1, 2, 3, 4], event: [0, 1, 0, 0] }).estimate; // 3
 * ```
 * @param options `share` of follow-up times other than the median 0.5, and kaplanMeier's options.
 * @throws {DataError} as kaplanMeier.
 * @see Schemper & Smith (1996) Controlled Clinical Trials 17:343-346.
 */
export function medianFollowUp(
  data: FollowUp,
  options: KaplanMeierOptions & { share?: number } = {},
): MedianFollowUp {
  checkDataColumns("medianFollowUp", data, FOLLOW_UP);
  const share = checkNumber("share", options.share ?? 0.5, (p) => p > 0 && p < 1, "in (0, 1)");
  const columns = followUpColumns(data, { causes: true });
  const event = columns.event.map((code) => code > 0 ? 0 : 1);
  const curve = curveOf({ ...columns, event }, options);
  return { ...curve.quantile(share), n: curve.n, censored: curve.events };
}
