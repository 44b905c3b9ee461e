import { deepEqual, equal } from "node:assert/strict";
import { columnOf } from "../../lib/cohort/model/mod.ts";
import type { PatientRow } from "../../lib/simulate/rows/rows.ts";
import type { Taken } from "./begin.ts";
import type { Registry } from "./invented.ts";

// The truth is what the generators drew; expectations are theirs, not ours.

/** Every value of these columns is the one that was drawn, for every patient. */
export function sameAsDrawn(
  { cohort, rowOf }: Taken,
  { patients }: Registry,
  columns: (keyof PatientRow)[],
): void {
  equal(cohort.n, patients.length);
  for (const name of columns) {
    const held = columnOf(cohort, name);
    const wrong = patients.filter((row) => {
      const value = held[rowOf(row.number)];
      const drawn = row[name];
      return drawn === "" ? !(value === "" || Number.isNaN(value)) : value !== drawn;
    });
    equal(wrong.length, 0, `${name}: ${wrong.length} differ`);
  }
}

/** Filtration rates, worked out from rounded creatinine, are those drawn but for the rounding. */
export function sameFiltration({ cohort, rowOf }: Taken, { patients }: Registry): void {
  const held = columnOf(cohort, "egfr");
  const wrong = patients.filter(({ number, egfr }) => {
    const value = Number(held[rowOf(number)]);
    return egfr === "" ? !Number.isNaN(value) : !(Math.abs(value - egfr) <= 1);
  });
  equal(wrong.length, 0, `${wrong.length} filtration rates differ`);
}

/** Every visit is there with its day and grade, by patient and day. */
export function sameVisits({ cohort, rowOf }: Taken, { patients, visits }: Registry): void {
  const lost = Map.groupBy(
    cohort.problems.filter(({ costs }) => costs === "visit"),
    ({ column, message }) => `${column} ${message}`,
  );
  deepEqual([...lost].map(([what, { length }]) => `${length}: ${what}`), []);
  equal(cohort.visits.count, visits.length);
  const own = Map.groupBy(visits, ({ number }) => number);
  for (const { number } of patients) {
    const row = rowOf(number);
    const [from, to] = [cohort.visits.offsets[row], cohort.visits.offsets[row + 1]];
    const drawn = (own.get(number) ?? []).toSorted((a, b) => a.day - b.day);
    deepEqual([...cohort.visits.day.subarray(from, to)], drawn.map(({ day }) => day));
    deepEqual([...cohort.visits.mr.subarray(from, to)], drawn.map(({ mr }) => mr));
  }
}

/** What de-identifying read and wrote are all patients and visits, and none is lost. */
export function reconciles(
  { copy, cohort }: Taken,
  { patients, visits }: Registry,
  notes = 0,
): void {
  const [first, second] = copy.tables;
  deepEqual(
    [first?.rowsRead, first?.rowsWritten, first?.notes],
    [patients.length + notes, patients.length, notes],
  );
  deepEqual([second?.rowsRead, second?.rowsWritten], [visits.length, visits.length]);
  deepEqual(cohort.problems.filter(({ costs }) => costs === "patient"), []);
}

/** What each of these files says of a patient before operation and at it. */
export const beforeOperation = [
  "op_year",
  "age",
  "sex",
  "nyha",
  "af_pre",
  "diabetes",
  "prior_mi",
  "redo",
  "urgency",
  "ie_active",
  "aetiology",
  "mr_pre",
  "lvef",
  "lvedd",
  "lvesd",
] as const satisfies Parameters<typeof sameAsDrawn>[2];

/** Columns that both files of one row a patient have. */
export const usual: Parameters<typeof sameAsDrawn>[2] = [
  ...beforeOperation,
  "intended",
  "final",
  "mr_exit",
  "fu_days",
  "dead",
  "reint",
  "reint_day",
];
