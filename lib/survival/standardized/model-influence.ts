import type { FollowUpColumns } from "../../numerics/mod.ts";
import { lastAtMost } from "../curve/mod.ts";
import type { ConditionalHazard } from "./conditional-hazard.ts";

/** How an estimate changes with a conditional hazard. */
export interface HazardGradient {
  /** Its derivative in each of the first increments. */
  increment: Float64Array;
  /** Its derivative in each coefficient, increments held. */
  coefficient: Float64Array;
}

/** A gradient of zeros to add to: the first `places` increments, all coefficients. */
export function noGradient(model: ConditionalHazard, places: number): HazardGradient {
  return {
    increment: new Float64Array(places),
    coefficient: new Float64Array(model.columns.length),
  };
}

/**
 * What each row moves in an estimate by way of a model's increments and coefficients, added to
 * `influence`.
 *
 * A row moves increment u by (its own event there - increment * its risk while at risk) / total of
 * the risks, and by what it moves the coefficients, along the mean covariates of the risk set.
 *
 * @see Chen & Tsiatis (2001) Biometrics 57:1030-1038.
 */
export function addThroughModel(
  influence: Float64Array,
  model: ConditionalHazard,
  { time, event }: Pick<FollowUpColumns, "time" | "event">,
  of: "event" | "censoring",
  { increment: steep, coefficient }: HazardGradient,
): void {
  const { increment, total, mean, risk, columns, moves, rows } = model;
  const p = columns.length;
  const places = steep.length;
  const slope = coefficient.slice();
  const until = new Float64Array(places + 1); // sum of derivative * increment / total
  for (let u = 0; u < places; u++) {
    until[u + 1] = until[u]! + steep[u]! * increment[u]! / total[u]!;
    for (let j = 0; j < p; j++) slope[j]! -= steep[u]! * increment[u]! * mean[u * p + j]!;
  }
  rows.forEach((row, place) => {
    const counts = of === "event" ? event[row]! > 0 : event[row] === 0;
    let reached = lastAtMost(model.time, time[row]!) + 1;
    const own = reached > 0 && model.time[reached - 1] === time[row];
    // whoever has the event at a time is no longer at risk of being censored there
    if (of === "censoring" && !counts && own) reached--;
    let change = -risk[row]! * until[Math.min(places, reached)]!;
    if (counts && own && reached <= places) change += steep[reached - 1]! / total[reached - 1]!;
    for (let j = 0; j < p; j++) change += slope[j]! * moves[j]![place]!;
    influence[row]! += change;
  });
}
