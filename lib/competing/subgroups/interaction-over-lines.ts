import { type FollowUp, followUpColumns, valuesAt } from "../../numerics/mod.ts";
import { SidedFollowUp } from "./side-incidence.ts";
import { subgroupContrasts } from "./subgroup-difference.ts";

/** The difference on one side of a line less that on the other; NaN past a side's last time. */
export interface LineInteraction {
  estimate: number;
  standardError: number;
}

/**
 * The interaction of `subgroupContrasts` as a function of the line, for a search over many: rows
 * are checked and sorted once, and each line costs O(n).
 *
 * @param data With groups as codes 0 and 1.
 * @returns From the side (0 or 1) of each row; both groups must be on both.
 */
export function interactionOverLines(
  data: FollowUp & { group: Int32Array },
  { cause, time }: { cause: number; time: number },
): (sideOfRow: Uint8Array) => LineInteraction {
  if (data.entry && !data.weight) {
    // errors of rows that entered late are not those of influences
    return (side) => subgroupContrasts(data, side, { cause, time }).interaction;
  }
  const groups = [0, 1].map((code) => {
    const rows = Int32Array.from(data.group.keys().filter((row) => data.group[row] === code));
    const pick = (column: ArrayLike<number>) => valuesAt(column, rows);
    const columns = followUpColumns({
      time: pick(data.time),
      event: pick(data.event),
      ...(data.entry && { entry: pick(data.entry) }),
      ...(data.weight && { weight: pick(data.weight) }),
    }, { causes: true });
    const follow = new SidedFollowUp(columns, cause, time);
    return { rows, columns, follow, side: new Uint8Array(rows.length) };
  });
  return (sideOfRow) => {
    let [estimate, variance] = [0, 0];
    groups.forEach(({ rows, columns, follow, side }, code) => {
      const last = [-Infinity, -Infinity];
      for (let place = 0; place < side.length; place++) {
        const row = columns.order[place]!;
        const own = sideOfRow[rows[row]!]!;
        side[place] = own;
        last[own] = columns.sortedTime[place]!;
      }
      const found = follow.estimate(side);
      for (const s of [0, 1] as const) {
        const known = last[s]! >= time || found.eventFree[s] === 0;
        const sign = (s === 1) === (code === 1) ? 1 : -1;
        estimate += known ? sign * found.estimate[s]! : NaN;
        variance += found.variance[s]!;
      }
    });
    return { estimate, standardError: Number.isNaN(estimate) ? NaN : Math.sqrt(variance) };
  };
}
