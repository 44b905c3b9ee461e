import assert from "node:assert/strict";
import fc from "fast-check";
import { dictionary } from "../../lib/cohort/dictionary/dictionary.ts";
import { DataError } from "../../lib/numerics/columns/errors.ts";
import { cohortFiles } from "../../lib/simulate/rows/cohort-files.ts";
import { cohortParameters } from "../../lib/simulate/mechanism/parameters.ts";
import type { PatientRow, VisitRow } from "../../lib/simulate/rows/rows.ts";
import { simulateCohort } from "../../lib/simulate/rows/simulate-cohort.ts";

// The rules are those of the data dictionary, by number; expectations are rules, not past output.

const { patients, visits } = simulateCohort({ seed: 5, n: 6000 });
const byId = new Map(patients.map((row) => [row.id, row]));

Deno.test("simulateCohort() writes the dictionary's columns, in its order", () => {
  const names = (columns: { name: string }[]) => columns.map((column) => column.name);
  assert.deepEqual(Object.keys(patients[0]!), names(dictionary.patients));
  assert.deepEqual(Object.keys(visits[0]!), names(dictionary.visits));
});

Deno.test("simulateCohort() keeps every value within the dictionary's range and codes", () => {
  const tables: [Record<string, unknown>[], typeof dictionary.patients][] = [
    [patients as unknown as Record<string, unknown>[], dictionary.patients],
    [visits as unknown as Record<string, unknown>[], dictionary.visits],
  ];
  for (const [rows, columns] of tables) {
    for (const column of columns) {
      const codes = column.categories && new Set(column.categories.map(({ code }) => code));
      for (const row of rows) {
        const value = row[column.name];
        assert.notEqual(value, undefined, column.name);
        if (value === "") {
          assert.ok(!column.complete, `${column.name} is blank`);
          continue;
        }
        if (column.hard) {
          const { min, max } = column.hard;
          assert.ok(typeof value === "number" && value >= min && value <= max, column.name);
        }
        if (column.type === "integer") assert.ok(Number.isInteger(value), column.name);
        if (codes) {
          for (const code of column.type === "set" ? String(value).split(";") : [String(value)]) {
            assert.ok(codes.has(code), `${column.name}: ${code}`);
          }
        }
      }
    }
  }
});

Deno.test("simulateCohort() keeps the rules that compare cells of a patient", () => {
  const ring = (row: PatientRow) => row.ring_type !== "" && row.ring_type !== "none";
  const rules: Record<string, (row: PatientRow) => boolean> = {
    "1 clamp <= cpb": (row) => row.clamp <= row.cpb,
    "2 lvesd < lvedd": (row) => row.lvesd < row.lvedd,
    "3 ring with repair only": (row) =>
      (row.final === "repair") === (row.ring_type !== "") && ring(row) === (row.ring_mm !== ""),
    "3 prosthesis with replacement only": (row) =>
      (row.final === "replacement") === (row.prosthesis !== "") &&
      (row.final === "replacement") === (row.chordal_sparing !== ""),
    "4 reason of conversion": (row) => (row.intended !== row.final) === (row.convert_reason !== ""),
    "7 los <= fu_days": (row) => row.los <= row.fu_days,
    "8 fu_days 0 for a death in theatre": (row) =>
      row.fu_days > 0 || (row.dead === 1 && row.mr_exit === ""),
    "exit grade unless death in theatre": (row) => (row.mr_exit === "") === (row.fu_days === 0),
    "9 ischaemic": (row) =>
      row.aetiology !== "ischaemic" || row.prior_mi === 1 || row.cad_vessels >= 1,
    "10 endocarditis": (row) => (row.aetiology === "endocarditis") === (row.ie_active === 1),
    "13 leaflet in degenerative only": (row) =>
      (row.aetiology === "degenerative") === (row.leaflet !== ""),
    "13 tethering in secondary only": (row) =>
      ["ischaemic", "functional_nonischaemic"].includes(row.aetiology) ||
      (row.tether === "" && row.ipmd === ""),
    "phase with distance": (row) => (row.ipmd === "") === (row.ipmd_phase === ""),
    "cause of death": (row) => (row.dead === 1) === (row.death_cause !== ""),
    "reoperation within follow-up": (row) =>
      row.reint === 1
        ? row.reint_reason !== "" && row.reint_day !== "" && row.reint_day >= 1 &&
          row.reint_day <= row.fu_days
        : row.reint_reason === "" && row.reint_day === "",
  };
  for (const [name, holds] of Object.entries(rules)) {
    for (const row of patients) assert.ok(holds(row), `rule ${name}: case ${row.case_seq}`);
  }
});

Deno.test("simulateCohort() numbers cases in order of operation (rule 11)", () => {
  patients.forEach((row, i) => {
    assert.equal(row.case_seq, i + 1);
    if (i > 0) assert.ok(row.op_year >= patients[i - 1]!.op_year);
  });
});

Deno.test("simulateCohort() links visits to patients, one a day, within follow-up (rules 6, 14)", () => {
  const last = new Map<string, number>();
  for (const visit of visits) {
    const patient = byId.get(visit.id);
    assert.ok(patient && visit.day >= 1 && visit.day <= patient.fu_days);
    assert.ok(visit.day > (last.get(visit.id) ?? 0), "visits ascend by day");
    last.set(visit.id, visit.day);
    if (visit.lvedd !== "" && visit.lvesd !== "") assert.ok(visit.lvesd < visit.lvedd);
  }
});

Deno.test("simulateCohort() gives pseudonyms that are random, distinct and look like nothing", () => {
  assert.equal(byId.size, patients.length);
  for (const { id } of patients) assert.match(id, /^[bcdfghjkmnpqrstvwxz]{7}$/);
  // by hand: a sorted list has all neighbours ascending; a random one about half
  const ascending = patients.filter((row, i) => i > 0 && row.id > patients[i - 1]!.id).length;
  assert.ok(Math.abs(ascending / patients.length - 0.5) < 0.05);
});

Deno.test("simulateCohort() gives the same bytes for the same seed, others for another", () => {
  const text = (seed: number) => cohortFiles(simulateCohort({ seed, n: 150 }))["patients.csv"];
  assert.equal(text(9), text(9));
  assert.notEqual(text(9), text(10));
});

Deno.test("simulateCohort() keeps the rules for any seed and size", () => {
  fc.assert(
    fc.property(fc.nat(), fc.integer({ min: 1, max: 60 }), (seed, n) => {
      const cohort = simulateCohort({ seed, n });
      const days = new Map(cohort.patients.map((row) => [row.id, row.fu_days]));
      return cohort.patients.length === n && cohort.truth.length === n && days.size === n &&
        cohort.patients.every((row) => row.lvesd < row.lvedd && row.los <= row.fu_days) &&
        cohort.visits.every((visit: VisitRow) => visit.day <= (days.get(visit.id) ?? -1));
    }),
    { numRuns: 60, seed: 1 },
  );
});

Deno.test("simulateCohort() under no effect gives a patient one fate, whatever is intended", () => {
  const parameters = { ...cohortParameters, effect: "none" as const };
  for (const { potential } of simulateCohort({ seed: 2, n: 500, parameters }).truth) {
    const { repair, replacement } = potential;
    assert.equal(repair.deathDay, replacement.deathDay);
    assert.equal(repair.onset, replacement.onset);
    assert.equal(repair.reoperationDay, replacement.reoperationDay);
    assert.equal(repair.mrExit, replacement.mrExit);
  }
});

Deno.test("simulateCohort() finds under the procedure done what it found, looking as long", () => {
  // Identity: what is observed is one of the two potential outcomes, up to the end of follow-up.
  const cohort = simulateCohort({ seed: 4, n: 500 });
  cohort.truth.forEach((one, i) => {
    const { intended, fu_days } = cohort.patients[i]!;
    assert.deepEqual(one.discoveredUnder(intended, fu_days), one.discovered);
    // looking longer finds the same, or later ones besides
    const longer = one.discoveredUnder(intended, fu_days + 3000);
    if (one.discovered.day < Infinity) assert.equal(longer.day, one.discovered.day);
    else assert.ok(longer.day > fu_days);
  });
});

Deno.test("simulateCohort() refuses a size or seed that is none", () => {
  assert.throws(() => simulateCohort({ seed: 1, n: 0 }), DataError);
  assert.throws(() => simulateCohort({ seed: 1, n: 2.5 }), DataError);
  assert.throws(() => simulateCohort({ seed: -1, n: 10 }), DataError);
});
