import { deepEqual, equal, ok, throws } from "node:assert/strict";
import { numericColumn, readCohort, selectEligible } from "../../../lib/cohort/mod.ts";
import { openStudy } from "../../../lib/study/mod.ts";
import { analyse, readRows, replaced, type Row, smallStudy } from "../small-cohort.ts";
import fc from "fast-check";

// All expectations by hand.
const redo = { id: "redo", reason: "previous operation", column: "redo", exclude: { oneOf: [1] } };
const old = { id: "old", reason: "over 80", column: "age", exclude: { above: 80 } };

Deno.test("selectEligible() excludes in the plan's order, each patient once", async () => {
  const analysis = await analyse(
    [{ redo: 1, age: 85 }, { age: 85 }, {}, { redo: 1 }, { age: 80 }],
    [],
    { eligibility: [redo, old] },
  );
  deepEqual(analysis.flow.map(({ id, excluded, remaining }) => [id, excluded, remaining]), [
    ["everyone", 0, 5],
    ["redo", 2, 3],
    ["old", 1, 2],
  ]);
  deepEqual(analysis.ids, ["P0003", "P0005"]);
  deepEqual([...analysis.rows], [2, 4]);
  deepEqual(analysis.excluded, [
    { id: "P0001", step: "redo", reason: "previous operation" },
    { id: "P0004", step: "redo", reason: "previous operation" },
    { id: "P0002", step: "old", reason: "over 80" },
  ]);
});

Deno.test("selectEligible() keeps whom a rule cannot judge, and counts them", async () => {
  const rows: Row[] = [{ redo: "" }, { redo: 1 }, {}];
  const kept = await analyse(rows, [], { eligibility: [redo] });
  deepEqual(kept.flow.at(-1), {
    id: "redo",
    reason: "previous operation",
    excluded: 1,
    remaining: 2,
    undecided: 1,
  });
  const strict = { ...redo, exclude: { oneOf: [1], missing: true } };
  equal((await analyse(rows, [], { eligibility: [strict] })).n, 1);
});

Deno.test("selectEligible() excludes rows with an error first, and says so", async () => {
  const analysis = await analyse([{ fu_days: -9, redo: 1 }, {}, {}], [
    { id: "P0002", day: 30, mr: 7 },
  ], { eligibility: [redo] });
  deepEqual(analysis.flow.map(({ id, excluded, remaining }) => [id, excluded, remaining]), [
    ["everyone", 0, 3],
    ["invalid-value", 1, 2],
    ["redo", 0, 2],
  ]);
});

Deno.test("selectEligible() takes the groups as intended or as final", async () => {
  const rows = [
    {},
    { ...replaced, intended: "repair", convert_reason: "exposure" },
    replaced,
    { intended: "replacement", convert_reason: "repair_possible" },
    { ...replaced, intended: "repair" },
  ];
  const intended = await analyse(rows);
  deepEqual([...intended.treated], [1, 1, 0, 0, 1]);
  deepEqual(intended.groups.counts, { repair: 3, replacement: 2 });
  const final = await analyse(rows, [], { groups: { by: "final" } });
  deepEqual([...final.treated], [1, 0, 0, 1, 0]);
  const { conversions, ...counts } = final.procedures;
  deepEqual(counts, {
    repairRepair: 1,
    repairReplacement: 2,
    replacementRepair: 1,
    replacementReplacement: 1,
  });
  deepEqual(conversions.map(({ intended, label, count }) => [intended, label, count]), [
    ["repair", "not recorded", 1],
    ["repair", "poor exposure or long clamp time", 1],
    ["replacement", "valve found to be repairable", 1],
  ]);
});

Deno.test("selectEligible() hands on the visits of those who remain", async () => {
  const analysis = await analyse([{ redo: 1 }, {}, {}], [
    { id: "P0001", day: 10, mr: 0 },
    { id: "P0003", day: 20, mr: 1, lvef: 55 },
    { id: "P0002", day: 30, mr: 0 },
    { id: "P0003", day: 5, mr: 0 },
  ], { eligibility: [redo] });
  deepEqual([...analysis.visits.offsets], [0, 1, 3]);
  deepEqual([...analysis.visits.day], [30, 5, 20]);
  deepEqual([...numericColumn(analysis.visits, "lvef")], [NaN, NaN, 55]);
});

Deno.test("selectEligible() names the column that a rule needs and the file does not have", async () => {
  const { cohort } = await readRows([{}]);
  const rule = { id: "lung", reason: "lung", column: "copd", exclude: { oneOf: [1] } };
  throws(() => selectEligible(cohort, smallStudy({ eligibility: [rule] })), {
    name: "DataError",
    message: 'column must be one the cohort has, got "copd"',
  });
});

// Property: for any rules in any order, everybody is either in the analysis or excluded once, and
// the analysis is who breaks no rule, found by a second way.
Deno.test("selectEligible() reconciles for any rules, on the demonstration cohort", async () => {
  const study = await openStudy();
  const cohort = await readCohort(study);
  const column = fc.constantFrom("age", "lvef", "lvedd", "tether", "nyha", "egfr");
  const exclude = fc.record({
    below: fc.integer({ min: 0, max: 60 }),
    above: fc.integer({ min: 40, max: 100 }),
    missing: fc.constant<true>(true),
  }, { requiredKeys: [] }).filter((rule) => Object.keys(rule).length > 0);
  const rules = fc.array(fc.record({ column, exclude }), { maxLength: 5 });
  fc.assert(
    fc.property(rules, (drawn) => {
      const eligibility = drawn.map((rule, i) => ({ id: `r${i}`, reason: `rule ${i}`, ...rule }));
      const analysis = selectEligible(cohort, { ...study, eligibility });
      const breaks = (row: number) =>
        eligibility.some(({ column, exclude }) => {
          const value = numericColumn(cohort, column)[row] ?? NaN;
          if (Number.isNaN(value)) return exclude.missing === true;
          return value < (exclude.below ?? -Infinity) || value > (exclude.above ?? Infinity);
        });
      const expected = cohort.ids.filter((_, row) => !cohort.invalid[row] && !breaks(row));
      deepEqual(analysis.ids, expected);
      equal(new Set([...analysis.ids, ...analysis.excluded.map(({ id }) => id)]).size, cohort.n);
      equal(analysis.n + analysis.excluded.length, cohort.n);
      let before = cohort.n;
      for (const step of analysis.flow) {
        equal(step.excluded + step.remaining, before);
        before = step.remaining;
      }
      equal(before, analysis.n);
      const { repair, replacement } = analysis.groups.counts;
      ok(repair + replacement === analysis.n);
    }),
    { numRuns: 60, seed: 20240611 },
  );
});

Deno.test("selectEligible() gives an empty analysis where nobody remains", async () => {
  const rule = { ...old, exclude: { above: 20 } };
  const analysis = await analyse([{}, {}], [], { eligibility: [rule] });
  equal(analysis.n, 0);
  equal(analysis.visits.count, 0);
});
