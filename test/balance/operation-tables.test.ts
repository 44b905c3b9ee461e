import assert from "node:assert/strict";
import fc from "fast-check";
import { type Analysis, earlyResults, operationSentence, whatWasDone } from "mitral";
import type { Study } from "../../lib/study/mod.ts";

// All expectations by hand; patients invented.

const study = { smallestCell: 3 } as Study;

function analysisOf(
  patients: readonly Record<string, string | number>[],
  treated: readonly number[],
): Analysis {
  const names = Object.keys(patients[0] ?? {});
  const columns = Object.fromEntries(names.map((name) => {
    const cells = patients.map((patient) => patient[name]!);
    const numbers = cells.every((cell) => typeof cell === "number");
    return [name, numbers ? Float64Array.from(cells as number[]) : cells as string[]];
  }));
  const count = (code: number) => treated.filter((one) => one === code).length;
  const is = (intended: string, final: string) =>
    patients.filter((one) => one.intended === intended && one.final === final).length;
  return {
    n: patients.length,
    columns,
    treated: Uint8Array.from(treated),
    groups: {
      labels: { repair: "Repair meant", replacement: "Replacement meant" },
      counts: { repair: count(1), replacement: count(0) },
    },
    procedures: {
      repairRepair: is("repair", "repair"),
      repairReplacement: is("repair", "replacement"),
      replacementRepair: is("replacement", "repair"),
      replacementReplacement: is("replacement", "replacement"),
    },
    study: { ...study, columns: [] },
  } as unknown as Analysis;
}

const patient = (
  intended: string,
  final: string,
  ring: string,
  days: number,
  dead: number,
  clamp = 100,
) => ({
  intended,
  final,
  ring_type: ring,
  adjuncts: final === "repair" ? "neochordae;resection" : "",
  prosthesis: final === "replacement" ? "mechanical" : "",
  clamp,
  fu_days: days,
  dead,
});
const times = <T>(n: number, value: T) => Array.from({ length: n }, () => value);
const cohort = [
  ...times(6, patient("repair", "repair", "rigid", 900, 0)),
  ...times(4, patient("repair", "repair", "none", 20, 1, 130)),
  ...times(4, patient("repair", "replacement", "", 900, 0, 130)),
  ...times(5, patient("replacement", "replacement", "", 30, 1)),
  ...times(5, patient("replacement", "replacement", "", 31, 1)),
];
const groups = [...times(14, 1), ...times(10, 0)];
const lineOf = (table: ReturnType<typeof whatWasDone>, name: string) => {
  const row = table.rows.find(({ characteristic }) => characteristic!.trim().startsWith(name));
  return row && [row.repair, row.replacement];
};

Deno.test("whatWasDone() counts each step by group, and says what the file does not have", () => {
  const table = whatWasDone(analysisOf(cohort, groups), study);
  assert.deepEqual(table.columns.map(({ label }) => label), [
    "Of 24 patients",
    "Repair meant (n\u00a0=\u00a014)",
    "Replacement meant (n\u00a0=\u00a010)",
  ]);
  assert.deepEqual(lineOf(table, "rigid ring"), ["6 (60%)", "0 (–)"]);
  assert.deepEqual(lineOf(table, "none"), ["4 (40%)", "0 (–)"]);
  assert.deepEqual(lineOf(table, "Other steps of the repair: artificial chordae"), [
    "10 (71%)",
    "0 (0%)",
  ]);
  assert.deepEqual(lineOf(table, "Other steps of the repair: edge-to-edge"), ["0 (0%)", "0 (0%)"]);
  assert.deepEqual(lineOf(table, "mechanical"), ["4 (100%)", "10 (100%)"]);
  assert.deepEqual(lineOf(table, "Approach"), ["not in the file", "not in the file"]);
  assert.deepEqual(lineOf(table, "Chordal sparing"), ["not in the file", "not in the file"]);
  assert.equal(lineOf(table, "Intended"), undefined);
});

Deno.test("whatWasDone() does not let a few conversions be worked out from rings", () => {
  // 2 of 12 meant to be repaired were not: all 10 rings shown would say so
  const few = [
    ...times(5, patient("repair", "repair", "rigid", 900, 0)),
    ...times(5, patient("repair", "repair", "none", 900, 0)),
    ...times(2, patient("repair", "replacement", "", 900, 0)),
    ...times(10, patient("replacement", "replacement", "", 900, 0)),
  ];
  const table = whatWasDone(analysisOf(few, [...times(12, 1), ...times(10, 0)]), study);
  const shown = ["rigid ring", "none"].map((name) => lineOf(table, name)?.[0]);
  assert.ok(shown.includes("–"), `${shown}`);
  assert.ok(table.notes.some((note) => note.includes("from 1 to 2")));
});

Deno.test("earlyResults() counts deaths up to day 30, that day included", () => {
  const table = earlyResults(analysisOf(cohort, groups), study);
  assert.deepEqual(lineOf(table, "Death within 30 days"), ["4 (29%)", "5 (50%)"]);
  assert.deepEqual(lineOf(table, "Stroke within 30 days"), ["not in the file", "not in the file"]);
});

Deno.test("counts of a line and those withheld never exceed the group", () => {
  fc.assert(fc.property(
    fc.array(
      fc.record({
        repaired: fc.boolean(),
        meant: fc.boolean(),
        ring: fc.constantFrom("none", "rigid", "band"),
        days: fc.integer({ min: 0, max: 90 }),
      }),
      { minLength: 2, maxLength: 60 },
    ),
    (people) => {
      const patients = people.map(({ repaired, meant, ring, days }) =>
        patient(
          meant ? "repair" : "replacement",
          repaired ? "repair" : "replacement",
          repaired ? ring : "",
          days,
          1,
        )
      );
      const analysis = analysisOf(patients, people.map(({ meant }) => meant ? 1 : 0));
      const { rows } = whatWasDone(analysis, study);
      const at = rows.findIndex(({ characteristic }) => characteristic!.startsWith("Annuloplasty"));
      for (const arm of ["repair", "replacement"] as const) {
        const counts = rows.slice(at + 1, at + 4).filter(({ characteristic }) =>
          characteristic!.startsWith("\u2003")
        ).map((row) => Number.parseInt(row[arm]!)).filter(Number.isFinite);
        const sum = counts.reduce((total, count) => total + count, 0);
        assert.ok(sum <= analysis.groups.counts[arm]);
        assert.ok(counts.every((count) => count === 0 || count >= study.smallestCell));
      }
    },
  ));
});

Deno.test("operationSentence() tells whole patients of 100 and leaves out the rest", () => {
  assert.equal(
    operationSentence(analysisOf(cohort, groups)),
    "Of 100 valves repaired, 60 had a ring or band. Of 100 valves replaced, 100 had a mechanical " +
      "valve. Of 100 repairs that were meant, 29 ended as a replacement.",
  );
  const bare = cohort.map(({ ring_type: _, prosthesis: __, ...rest }) => rest);
  const none = bare.filter(({ intended, final }) => intended === final);
  assert.equal(
    operationSentence(analysisOf(none, none.map(({ intended }) => intended === "repair" ? 1 : 0))),
    "Of 100 repairs that were meant, 0 ended as a replacement.",
  );
});
