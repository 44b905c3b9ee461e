import { checkNumber, DataError, type FollowUp, followUpColumns } from "../../numerics/mod.ts";
import { aalenJohansen, incidenceInfluence } from "./aalen-johansen.ts";
import { causesOf, causeTable } from "./cause-table.ts";

/**
 * Each row's part in a cumulative incidence at one time: pseudo-values, which may stand in for the
 * yes/no outcome of a regression although some rows were censored before.
 *
 * F(t) + n times the row's influence on F(t), the infinitesimal form of the jackknife. Their mean is
 * F(t); without censoring before t each is the row's own 0 or 1. They assume that censoring does not
 * depend on what the regression compares. Cost O(n log n).
 *
 * @example
 * ```ts
 * import { pseudoValues } from "mitral";
 *
 * pseudoValues({ time: [1, 2, 3], event: [1, 0, 1] }, { cause: 1, time: 0.5 }); // 0, 0, 0
 * ```
 * @throws {DataError} with weights, and as `cumulativeIncidence` does.
 * @see Andersen, Klein & Rosthøj (2003) Biometrika 90:15-27; infinitesimal form: Parner, Andersen &
 * Overgaard (2023) Stat Med 42:3061-3075.
 */
export function pseudoValues(
  data: FollowUp,
  options: { cause?: number; time: number },
): Float64Array {
  if (data.weight !== undefined) throw new DataError("weight", "absent", "weights");
  const time = checkNumber("time", options.time, (t) => t >= 0 && t < Infinity, "a number >= 0");
  const whole = (c: number) => Number.isInteger(c) && c > 0;
  const cause = checkNumber("cause", options.cause ?? 1, whole, "1, 2, ...");
  const columns = followUpColumns(data, { causes: true });
  const causes = [...new Set([...causesOf(columns.event), cause])].sort((a, b) => a - b);
  const table = causeTable(columns, causes);
  const estimate = aalenJohansen(table);
  const k = causes.indexOf(cause);
  const last = table.time.length - 1;
  if (time > table.time[last]! && estimate.eventFree[last]! > 0) {
    throw new DataError("time", `at most the last observed time, ${table.time[last]}`, time);
  }
  let incidence = 0;
  for (let j = 0; j <= last && table.time[j]! <= time; j++) {
    incidence = estimate.incidence[k]![j]!;
  }
  const influence = incidenceInfluence(columns, table, estimate, k, time);
  return influence.map((own) => incidence + columns.n * own);
}
