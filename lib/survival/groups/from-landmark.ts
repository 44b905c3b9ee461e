import { checkDataColumns, FOLLOW_UP, type FollowUp, type Labels } from "../../numerics/mod.ts";
import { type Landmark, landmark } from "../curve/mod.ts";

/** Those at risk at a landmark, followed from there, and how many were not. */
export interface FromLandmark {
  /** Those still under observation at the landmark. */
  data: FollowUp & { group: Labels; cluster?: Labels };
  /** Left out, by reason. */
  counts: Landmark["counts"];
}

/**
 * Follow-up of two groups from a landmark on, each row with its group, pair and weight.
 *
 * @throws {DataError} as {@link landmark}.
 */
export function fromLandmark(
  data: FollowUp & { group: Labels; cluster?: Labels },
  at: number,
): FromLandmark {
  checkDataColumns("fromLandmark", data, [...FOLLOW_UP, "group", "cluster"]);
  const { time, event, entry, weight, group, cluster } = data;
  const view = landmark({ time, event, ...(entry && { entry }), ...(weight && { weight }) }, at);
  return {
    data: {
      ...view.data,
      group: view.select<string | number>(group),
      ...(cluster && { cluster: view.select<string | number>(cluster) }),
    },
    counts: view.counts,
  };
}
