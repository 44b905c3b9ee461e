import { subgroupContrasts } from "../../competing/subgroups/mod.ts";
import {
  checkDataColumns,
  checkWhole,
  DataError,
  FOLLOW_UP,
  type FollowUp,
  groupColumn,
  type Labels,
  type Numbers,
  valuesAt,
} from "../../numerics/mod.ts";
import { type SoughtThreshold, soughtThreshold } from "./sought-threshold.ts";

/**
 * The threshold of a measurement at which the difference of incidence between two groups changes
 * most, and what is left of that change once it is allowed for that the threshold was sought.
 *
 * The effect is the interaction of `subgroupDifference`: the difference at or above the
 * threshold less the difference below it. Thresholds that leave fewer than `smallest` rows of a
 * group on a side are not tried. Exploratory by nature.
 *
 * @param measurement One value a row; NaN where not known, whose rows are left out and counted.
 * @example
 * ```ts ignore
 * import { soughtSubgroup } from "mitral";
 * const time = [1, 2, 2.5, 3, 4, 5, 5.5, 6, 7, 8, 9, 10];
 * const event = [1, 0, 1, 1, 0, 1, 0, 1, 0, 1, 0, 0];
 * const group = [0, 1, 0, 1, 1, 0, 0, 1, 0, 1, 0, 1];
 * const weight = [1, 2, 1, 1, 2, 1, 1, 1, 2, 1, 1, 1];
 * const tether = [4, 9, 12, 5, 11, 8, 3, 13, 6, 10, 7, 14];
 * soughtSubgroup({ time, event, group, weight }, tether, { cause: 1, time: 5, seed: 1 }).corrected;
 * ```
 * @throws {DataError} as those two, and if no threshold can be tried.
 */
export function soughtSubgroup(
  data: FollowUp & { group: Labels },
  measurement: Numbers,
  options: {
    cause: number;
    time: number;
    seed: number;
    replicates?: number;
    candidates?: readonly number[];
    /** Default 20. */
    smallest?: number;
  },
): SoughtThreshold & { n: number; unknown: number } {
  checkDataColumns("soughtSubgroup", data, [...FOLLOW_UP, "group"]);
  const { cause, time } = options;
  const smallest = checkWhole("smallest", options.smallest ?? 20, 1);
  const total = data.time.length;
  if (measurement.length !== total) {
    throw new DataError("measurement", `of length ${total}`, measurement);
  }
  const known = Int32Array.from({ length: total }, (_, i) => i)
    .filter((i) => !Number.isNaN(measurement[i]!));
  // codes keep the order of the labels, so that the direction of differences is the same
  const codes = groupColumn("group", data.group, total);
  const found = soughtThreshold(
    valuesAt(measurement, known),
    (rows, holds) => {
      // loops: each of these is gone through for every candidate in every replicate
      const own = rows.map((row) => known[row]!);
      const group = new Int32Array(own.length);
      const counts = new Int32Array(2 * codes.labels.length);
      for (let k = 0; k < own.length; k++) {
        group[k] = codes.codes[own[k]!]!;
        counts[2 * group[k]! + holds[k]!]!++;
      }
      if (counts.length !== 4 || Math.min(...counts) < smallest) return null;
      const pick = (column: Numbers) => valuesAt(column, own);
      const { interaction } = subgroupContrasts(
        {
          time: pick(data.time),
          event: pick(data.event),
          ...(data.entry && { entry: pick(data.entry) }),
          ...(data.weight && { weight: pick(data.weight) }),
          group,
        },
        holds,
        { cause, time },
      );
      const { estimate, standardError } = interaction;
      return Number.isFinite(estimate) && standardError > 0 ? { estimate, standardError } : null;
    },
    options,
  );
  return { ...found, n: known.length, unknown: total - known.length };
}
