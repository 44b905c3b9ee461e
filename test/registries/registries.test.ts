import { deepEqual, equal, ok } from "node:assert/strict";
import { columnOf } from "../../lib/cohort/model/mod.ts";
import type { PatientRow } from "../../lib/simulate/rows/rows.ts";
import { type Taken, takeRegistry } from "./begin.ts";
import { germanRegistry, nationalRegistry, type Registry, workbookRegistry } from "./invented.ts";

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
  const taken = await takeRegistry(registry, { cohort: "patienten.csv", visits: "echos.csv" }, {
    "patients.Status": "dead",
    "patients.Status.dead.values": "1=alive; 2=dead",
    "patients.Dringlichkeit.urgency.values":
      "elektiv=elective; dringlich=urgent; Notfall=emergency; Reanimation=salvage",
    "patients.Vorhofflimmern.af_pre.values": "kein=none; permanent=persistent",
    "patients.Geplanter Eingriff": "intended",
    "patients.Durchgeführter Eingriff": "final",
    "patients.Geplanter Eingriff.intended.values": "Rekonstruktion=repair; Ersatz=replacement",
    "patients.Durchgeführter Eingriff.final.values": "Rekonstruktion=repair; Ersatz=replacement",
    "patients.Voroperation": "redo",
    "visits.Datum": "visit",
    "study.closing-year": "2024.5",
  });
  sameAsDrawn(taken, registry, usual);
  sameVisits(taken, registry);
  reconciles(taken, registry);
  console.log(`German export: ${taken.talk.given} answers: ${taken.asked.join(", ")}`);
  ok(taken.talk.given <= 30, `${taken.talk.given} answers`);
});

Deno.test("a workbook with titles, merged cells and free texts comes out as it was drawn", async () => {
  const registry = workbookRegistry();
  const taken = await takeRegistry(registry, { cohort: "registry.xlsx", visits: "same" }, {
    "patients.id": "Patient: Pat No",
    "patients.Outcome: Vital status": "dead",
    "patients.Before operation: Preop MR": "mr_pre",
    "patients.Before operation: Preop EF": "lvef",
    "patients.Operation: Exit MR": "mr_exit",
    "patients.Operation: Procedure text": "text",
    "study.closing-year": "2024.5",
  });
  sameAsDrawn(taken, registry, [
    "op_year",
    "age",
    "sex",
    "diabetes",
    "nyha",
    "mr_pre",
    "lvef",
    "lvedd",
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
  sameVisits(taken, registry);
  reconciles(taken, registry, 1);
  console.log(`Workbook: ${taken.talk.given} answers: ${taken.asked.join(", ")}`);
  ok(taken.talk.given <= 40, `${taken.talk.given} answers`);
});

Deno.test("a national file of 12,000 comes out as it was drawn", async () => {
  const registry = nationalRegistry();
  const taken = await takeRegistry(
    registry,
    { cohort: "national.csv", visits: "national-echo.csv" },
    {
      "patients.Gender.sex.values": "1=M; 2=F",
      "patients.Atrial fibrillation.af_pre.values": "0=none; 1=paroxysmal; 2=persistent",
      "study.closing-year": "2024.5",
    },
  );
  sameAsDrawn(taken, registry, ["case_seq", ...usual]);
  sameVisits(taken, registry);
  reconciles(taken, registry);
  console.log(`National file: ${taken.talk.given} answers: ${taken.asked.join(", ")}`);
  ok(taken.talk.given <= 25, `${taken.talk.given} answers`);
});
