import { interactionOverLines, type LineInteraction } from "../../competing/subgroups/mod.ts";
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
  const layOut = (rows: Int32Array) => {
    const own = rows.map((row) => known[row]!);
    const group = own.map((row) => codes.codes[row]!);
    const pick = (column: Numbers) => valuesAt(column, own);
    const interaction = codes.labels.length === 2
      ? interactionOverLines({
        time: pick(data.time),
        event: pick(data.event),
        ...(data.entry && { entry: pick(data.entry) }),
        ...(data.weight && { weight: pick(data.weight) }),
        group,
      }, { cause, time })
      : undefined;
    return (holds: Uint8Array) => {
      const counts = new Int32Array(4);
      for (let k = 0; k < group.length; k++) counts[2 * group[k]! + holds[k]!]!++;
      if (!interaction || Math.min(...counts) < smallest) return null;
      const { estimate, standardError } = interaction(holds);
      return Number.isFinite(estimate) && standardError > 0 ? { estimate, standardError } : null;
    };
  };
  // laid out once for all candidates, which a search tries in the same rows
  let laid: { rows: Int32Array; at(holds: Uint8Array): LineInteraction | null } | undefined;
  const found = soughtThreshold(
    valuesAt(measurement, known),
    (rows, holds) => {
      if (laid?.rows !== rows) laid = { rows, at: layOut(rows) };
      return laid.at(holds);
    },
    options,
  );
  return { ...found, n: known.length, unknown: total - known.length };
}
