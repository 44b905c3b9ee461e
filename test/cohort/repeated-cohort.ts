import type { Cohort } from "../../lib/cohort/mod.ts";

/** Rows of a cohort, each as often as it is named, under names of their own and without visits. */
export function repeatedCohort(cohort: Cohort, rows: readonly number[]): Cohort {
  const at = <T>(column: ArrayLike<T>) => rows.map((row) => column[row]!);
  return {
    ...cohort,
    n: rows.length,
    ids: rows.map((_, k) => `P${k}`),
    invalid: Uint8Array.from(at(cohort.invalid)),
    columns: Object.fromEntries(
      Object.entries(cohort.columns).map(([name, column]) => [
        name,
        column instanceof Float64Array ? Float64Array.from(at(column)) : at(column),
      ]),
    ),
    visits: {
      count: 0,
      offsets: new Int32Array(rows.length + 1),
      day: new Float64Array(),
      mr: new Float64Array(),
      columns: {},
    },
  };
}
