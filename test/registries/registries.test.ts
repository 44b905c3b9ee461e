import { deepEqual, equal, ok } from "node:assert/strict";
import { columnOf } from "../../lib/cohort/model/mod.ts";
import type { PatientRow } from "../../lib/simulate/rows/rows.ts";
import { german, national, ofWorkbook } from "./answers.ts";
import { type Taken, takeRegistry } from "./begin.ts";
import { germanRegistry, type Registry, workbookRegistry } from "./invented.ts";
import { nationalRegistry } from "./national-registry.ts";

// The truth is what the generators drew; expectations are theirs, not ours.

/** Every value of these columns is the one that was drawn, for every patient. */
function sameAsDrawn(
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
function sameFiltration({ cohort, rowOf }: Taken, { patients }: Registry): void {
  const held = columnOf(cohort, "egfr");
  const wrong = patients.filter(({ number, egfr }) => {
    const value = Number(held[rowOf(number)]);
    return egfr === "" ? !Number.isNaN(value) : !(Math.abs(value - egfr) <= 1);
  });
  equal(wrong.length, 0, `${wrong.length} filtration rates differ`);
}

/** Every visit is there with its day and grade, by patient and day. */
function sameVisits({ cohort, rowOf }: Taken, { patients, visits }: Registry): void {
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

function reconciles({ copy, cohort }: Taken, { patients, visits }: Registry, notes = 0): void {
  const [first, second] = copy.tables;
  deepEqual(
    [first?.rowsRead, first?.rowsWritten, first?.notes],
    [patients.length + notes, patients.length, notes],
  );
  deepEqual([second?.rowsRead, second?.rowsWritten], [visits.length, visits.length]);
  deepEqual(cohort.problems.filter(({ costs }) => costs === "patient"), []);
}

/** Columns that both files of one row a patient have. */
const usual: Parameters<typeof sameAsDrawn>[2] = [
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
  "intended",
  "final",
  "mr_exit",
  "fu_days",
  "dead",
  "reint",
  "reint_day",
];

Deno.test("a German CSV export comes out as it was drawn, dates, words and status among it", async () => {
  const registry = germanRegistry();
  await takeRegistry(registry, german, (taken) => {
    sameAsDrawn(taken, registry, [...usual, "copd", "leaflet", "tether"]);
    sameFiltration(taken, registry);
    sameVisits(taken, registry);
    reconciles(taken, registry);
    console.log(`German export: ${taken.talk.given} answers: ${taken.asked.join(", ")}`);
    ok(taken.talk.given <= 30, `${taken.talk.given} answers`);
  });
});

Deno.test("a workbook with titles, merged cells and free texts comes out as it was drawn", async () => {
  const registry = workbookRegistry();
  await takeRegistry(registry, ofWorkbook, (taken) => {
    sameAsDrawn(taken, registry, [
      "op_year",
      "age",
      "sex",
      "diabetes",
      "nyha",
      "mr_pre",
      "lvef",
      "lvedd",
      "af_pre",
      "copd",
      "urgency",
      "ie_active",
      "redo",
      "aetiology",
      "leaflet",
      "tether",
      "intended",
      "final",
      "mr_exit",
      "fu_days",
      "dead",
      "reint",
      "reint_day",
      "ring_mm",
      "cabg_grafts",
      "af_ablation",
    ]);
    sameFiltration(taken, registry);
    sameVisits(taken, registry);
    reconciles(taken, registry, 1);
    console.log(`Workbook: ${taken.talk.given} answers: ${taken.asked.join(", ")}`);
    ok(taken.talk.given <= 40, `${taken.talk.given} answers`);
  });
});

Deno.test("a national file of 12,000 comes out as it was drawn", async () => {
  const registry = nationalRegistry();
  await takeRegistry(registry, national, (taken) => {
    sameAsDrawn(taken, registry, ["case_seq", ...usual, "egfr", "copd", "leaflet", "tether"]);
    sameVisits(taken, registry);
    reconciles(taken, registry);
    console.log(`National file: ${taken.talk.given} answers: ${taken.asked.join(", ")}`);
    ok(taken.talk.given <= 25, `${taken.talk.given} answers`);
  });
});
