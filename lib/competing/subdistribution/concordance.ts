import { followUpColumns } from "../../numerics/mod.ts";
import { type Concordance, concordanceOf, coxDesign } from "../../survival/cox/mod.ts";
import type { SubdistributionState } from "./state.ts";

/**
 * Harrell's concordance for one cause with others competing: those with a competing event never
 * have the event, so they outlast everybody (Wolbers et al. 2009, Epidemiology 20:555-561). Not
 * weighted for censoring. Sorts again; O(n log n).
 */
export function concordanceWithNever(
  state: SubdistributionState,
  score: Float64Array,
): Concordance {
  const { cause, last } = state;
  const { time, event, weight } = state.follow;
  const never = time.map((t, i) => event[i] === 0 || event[i] === cause ? t : last + 1 + last);
  const own = event.map((code) => code === cause ? 1 : 0);
  const follow = followUpColumns({
    time: never,
    event: own,
    ...(weight && { weight }),
  });
  const design = coxDesign(follow, [], undefined);
  const { cluster } = state;
  const codeOfRow = cluster && new Int32Array(follow.n);
  if (cluster && codeOfRow) {
    state.design.rowAt.forEach((row, place) => codeOfRow[row] = cluster.codeAt[place]!);
  }
  return concordanceOf(
    design,
    Float64Array.from(design.rowAt, (row) => score[row]!),
    cluster && codeOfRow && {
      codeAt: Int32Array.from(design.rowAt, (row) => codeOfRow[row]!),
      count: cluster.count,
    },
  );
}
