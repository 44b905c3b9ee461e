import assert from "node:assert/strict";
import fc from "fast-check";
import {
  blockMeans,
  difficultiesOf,
  isWithheld,
  programmeComplexity,
  programmeLearning,
  programmeMonitoring,
  programmeOperations,
  programmeReferral,
  publishableBlocks,
  selectEligible,
  surgeonRates,
  targetRates,
  yearlyTrend,
} from "mitral";
import { assertAllClose, assertClose } from "../close.ts";
import { readRows, replaced, type Row } from "../cohort/small-cohort.ts";

/** Operations of a small file, with the plan's programme changed. */
async function operationsOf(rows: Row[], programme: Record<string, unknown> = {}, other = {}) {
  const { cohort, study } = await readRows(rows, [], { programme, ...other });
  return programmeOperations(selectEligible(cohort, study), cohort);
}

const of = (surgeon: string, op_year: number, more: Row = {}): Row => ({
  surgeon,
  op_year,
  ...more,
});

// By hand.
Deno.test("programmeOperations() counts experience and volume, and knows what it does not know", async () => {
  const rows = [
    of("S7", 2012),
    of("S2", 2012),
    of("S7", 2012),
    of("S9", 2013),
    of("S2", 2013),
    of("S9", 2013, { redo: 1 }),
    of("S9", 2014),
    of("", 2014),
  ];
  const eligibility = [
    { id: "redo", reason: "redo", column: "redo", exclude: { oneOf: [1] } },
  ];
  const found = await operationsOf(rows, {
    smallestVolume: { operations: 2, source: "us" },
    doneBefore: { S2: 40 },
    volumeBands: { from: [2, 3], source: "us" },
  }, { eligibility });
  assert.equal(found.n, 7);
  // S7 operated in the first year with an unknown past; S9's ineligible operation counts
  assertAllClose(found.experience, [null, 40, null, 0, 41, 2, null].map((x) => x ?? NaN));
  assertAllClose(found.volume, [2, 1, 2, 2, 1, 1, NaN]);
  assert.deepEqual(found.band.slice(0, 2), ["2 a year", "fewer than 2 a year"]);
  assert.equal(found.band[6], "");
  // labels in the order of the codes, which are not shown
  assert.deepEqual(found.surgeons.single, ["Surgeon 1", "Surgeon 2", "Surgeon 3"]);
  assert.equal(found.surgeons.label[1], "Surgeon 1"); // S2
  assert.equal(found.surgeons.label[6], "");
  assert.ok(!JSON.stringify(found.surgeons).includes("S7"));
});

Deno.test("programmeOperations() puts surgeons with few operations together", async () => {
  const rows = [of("A", 2012), of("A", 2012), of("B", 2012), of("C", 2012, replaced)];
  const { surgeons, repaired, converted } = await operationsOf(rows, {
    smallestVolume: { operations: 2, source: "us" },
  });
  assert.deepEqual(surgeons.single, ["Surgeon 1"]);
  assert.equal(surgeons.pooled, 2);
  assert.equal(surgeons.label[2], surgeons.label[3]);
  assert.deepEqual([...repaired], [1, 1, 1, 0]);
  assert.deepEqual([...converted], [0, 0, 0, 0]);
});

// By hand: blocks need two of either kind; the rest joins the last.
Deno.test("publishableBlocks() shows no operation alone", () => {
  const { ranges } = publishableBlocks([1, 0, 1, 0, 0, 0, 1, 1, 0], 2);
  assert.deepEqual(ranges, [{ first: 0, end: 4 }, { first: 4, end: 9 }]);
  assertAllClose(blockMeans([1, 2, 3, 4, 5, 6, 7, 8, 9], { ranges }), [2.5, 7]);
  assert.deepEqual(publishableBlocks([1, 0, 0, 0], 2).ranges, []);
  fc.assert(
    fc.property(fc.array(fc.constantFrom(0, 1), { maxLength: 80 }), (outcome) => {
      const blocks = publishableBlocks(outcome, 3).ranges;
      for (const { first, end } of blocks) {
        const events = outcome.slice(first, end).reduce<number>((sum, y) => sum + y, 0);
        assert.ok(events >= 3 && end - first - events >= 3);
      }
      blocks.forEach((block, k) => assert.equal(block.first, k === 0 ? 0 : blocks[k - 1]!.end));
      if (blocks.length > 0) assert.equal(blocks.at(-1)!.end, outcome.length);
    }),
  );
});

// A file without surgeons, with few patients: reasons in place of results, never an error.
Deno.test("what a file cannot answer is withheld with a reason", async () => {
  const found = await operationsOf([{}, replaced, {}, replaced].map((row) => ({ ...row })));
  const results = [
    surgeonRates(found),
    programmeComplexity(found),
    programmeLearning(found, "conversion", [0, 0, 0, 0]),
    programmeMonitoring(found),
    programmeReferral(found),
    yearlyTrend(found, "repair"),
  ];
  for (const result of results) {
    assert.ok(isWithheld(result));
    assert.match(result.why, /^[A-Z].*\.$/);
  }
});

// By hand: exact limits of 3 of 4 (Clopper and Pearson: R 4.2.2, stats::binom.test).
Deno.test("targetRates() sets the programme beside its targets", async () => {
  const rows = [{}, {}, {}, replaced, { ...replaced, aetiology: "rheumatic", leaflet: "" }];
  const [rate, ...rest] = targetRates(await operationsOf(rows.map((row) => ({ ...row }))));
  assert.equal(rest.length, 0);
  assert.equal(rate!.n, 4);
  assert.equal(rate!.target, 0.9);
  assertClose(rate!.rate.lower, 0.1941204, { relative: 0, absolute: 5e-8 });
  assertClose(rate!.rate.upper, 0.9936905, { relative: 0, absolute: 5e-8 });
});

Deno.test("difficultiesOf() takes the plan's rules, or the usual ones", async () => {
  const rows: Row[] = [{}, { leaflet: "both" }, { redo: 1 }, { age: 80 }];
  const usual = difficultiesOf((await operationsOf(rows)).analysis);
  assert.deepEqual(usual.map(({ label }) => label).sort(), [
    "Leaflet: both",
    "Previous heart operation",
  ]);
  const rule = { column: "age", atLeast: 75, source: "us" };
  const own = difficultiesOf(
    (await operationsOf(rows, { difficulties: [{ id: "old", label: "Old", rule }] })).analysis,
  );
  assert.deepEqual(own.map(({ label, holds }) => [label, [...holds]]), [["Old", [0, 0, 0, 1]]]);
});
