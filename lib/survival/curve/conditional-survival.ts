import {
  checkDataColumns,
  checkNumber,
  DataError,
  FOLLOW_UP,
  type FollowUp,
  followUpColumns,
  numberColumn,
  type Numbers,
} from "../../numerics/mod.ts";
import { kaplanMeier } from "./kaplan-meier.ts";
import type { LimitScale } from "./limits.ts";

/** Survival of those who have come so far. */
export interface ConditionalSurvival {
  /** Times, in the unit given. */
  time: Float64Array;
  /** Weight at risk just after `from` (rows, without weights). */
  atRisk: number;
  /** Probability of being alive at each time, 0 to 1. */
  survival: Float64Array;
  /** Standard errors of the estimates. */
  standardError: Float64Array;
  /** Lower limits. */
  lower: Float64Array;
  /** Upper limits. */
  upper: Float64Array;
}

/**
 * Survival to later times of those still at risk after `from`: S(t) / S(from).
 *
 * The product over event times u with from < u <= t of 1 - d/n: a Kaplan-Meier curve of the rows
 * with time > from, entered at `from`. A row whose time is `from` is out, whether
 * event or censored.
 * Times go on counting from the same origin. Standard error and limits as in {@link kaplanMeier};
 * with weights the infinitesimal jackknife. Cost O(n log n).
 *
 * @example Alive at 5 years, of those alive at 1
 * ```ts
 * import { conditionalSurvival } from "mitral";
 * const time = [0.5, 1.5, 3, 6, 7];
 * conditionalSurvival({ time, event: [1, 1, 0, 1, 0] }, { from: 1, times: [5] }).survival[0]; // 0.75
 * ```
 * @param options.times At or after `from`; NaN past the last observed time.
 * @throws {DataError} for a value out of range, a time before `from`, or nobody at risk after it.
 * @see Kaplan & Meier (1958) JASA 53:457-481.
 */
export function conditionalSurvival(
  data: FollowUp,
  options: { from: number; times: Numbers; interval?: LimitScale; confidence?: number },
): ConditionalSurvival {
  checkDataColumns("conditionalSurvival", data, FOLLOW_UP);
  const { from, times, interval, confidence } = options;
  checkNumber("from", from, (t) => t >= 0 && t < Infinity, "a finite number >= 0");
  numberColumn("times", times, { min: from });
  const { n, time, event, entry, weight } = followUpColumns(data);
  const rows = Array.from({ length: n }, (_, i) => i).filter((i) => time[i]! > from);
  const started = (row: number) => !entry || entry[row]! <= from;
  if (!rows.some(started)) throw new DataError("from", "a time after which some are at risk", from);
  const curve = kaplanMeier({
    time: rows.map((row) => time[row]!),
    event: rows.map((row) => event[row]!),
    // never at risk at `from` itself: no event there is left
    entry: rows.map((row) => Math.max(from, entry?.[row] ?? from)),
    ...(weight && { weight: rows.map((row) => weight[row]!) }),
  }, {
    ...(interval !== undefined && { interval }),
    ...(confidence !== undefined && { confidence }),
  });
  const { time: at, survival, standardError, lower, upper } = curve.at(times);
  const atRisk = rows.filter(started).reduce((sum, row) => sum + (weight?.[row] ?? 1), 0);
  return { time: at, atRisk, survival, standardError, lower, upper };
}
