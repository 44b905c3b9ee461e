import {
  checkDataColumns,
  checkNumber,
  DataError,
  FOLLOW_UP,
  type FollowUp,
  type FollowUpColumns,
  followUpColumns,
} from "../../numerics/mod.ts";
import { aalenJohansen, incidenceInfluence } from "./aalen-johansen.ts";
import { causesOf, causeTable, rowAt } from "./cause-table.ts";

/**
 * Each row's part in a cumulative incidence at one time: pseudo-values, which may stand in for the
 * yes/no outcome of a regression although some rows were censored before.
 *
 * F(t) + n times the row's influence on F(t), the infinitesimal form of the jackknife. Their
 * (weighted) mean is F(t); without censoring before t each is the row's own 0 or 1. They assume
 * that censoring does not depend on what the regression compares. Cost O(n log n).
 *
 * @example
 * ```ts
 * import { pseudoValues } from "mitral";
 *
 * pseudoValues({ time: [1, 2, 3], event: [1, 0, 1] }, { cause: 1, time: 0.5 }); // 0, 0, 0
 * ```
 * @throws {DataError} past the last observed time, and as `cumulativeIncidence` does.
 * @see Andersen, Klein & Rosthøj (2003) Biometrika 90:15-27; infinitesimal form: Parner, Andersen &
 * Overgaard (2023) Stat Med 42:3061-3075.
 */
export function pseudoValues(
  data: FollowUp,
  options: { cause?: number; time: number },
): Float64Array {
  checkDataColumns("pseudoValues", data, FOLLOW_UP);
  const time = checkNumber("time", options.time, (t) => t >= 0 && t < Infinity, "a number >= 0");
  const whole = (c: number) => Number.isInteger(c) && c > 0;
  const cause = checkNumber("cause", options.cause ?? 1, whole, "1, 2, ...");
  const { values, known } = pseudoValuesOf(followUpColumns(data, { causes: true }), cause, time);
  if (time > known) throw new DataError("time", `at most the last observed time, ${known}`, time);
  return values;
}

/**
 * The same from columns already checked, the curve staying where it is past the last observed time;
 * `known` is that time, or Infinity where nobody was event-free by then.
 */
export function pseudoValuesOf(
  columns: FollowUpColumns,
  cause: number,
  time: number,
): { values: Float64Array; known: number } {
  const { n, weight } = columns;
  const causes = [...new Set([...causesOf(columns.event), cause])].sort((a, b) => a - b);
  const table = causeTable(columns, causes);
  const estimate = aalenJohansen(table);
  const k = causes.indexOf(cause);
  const last = table.time.length - 1;
  const at = rowAt(table.time, time);
  const incidence = at < 0 ? 0 : estimate.incidence[k]![at]!;
  // a row's influence counts its weight: per unit of weight it is what the others are held against
  const total = weight ? weight.reduce((sum, w) => sum + w, 0) : n;
  const influence = incidenceInfluence(columns, table, estimate, k, time);
  return {
    values: influence.map((own, i) => incidence + total * own / (weight ? weight[i]! : 1)),
    known: estimate.eventFree[last]! > 0 ? table.time[last]! : Infinity,
  };
}
