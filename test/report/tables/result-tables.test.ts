import assert from "node:assert/strict";
import fc from "fast-check";
import { joinRare } from "../../../lib/report/cohort-tables/flow-table.ts";
import { scheduleTable } from "../../../lib/report/cohort-tables/mod.ts";
import { boundedCount } from "../../../lib/disclosure/small-counts.ts";
import { publishedFinding } from "../../../lib/report/show/finding.ts";
import { contrastTable, findingOf } from "../../../lib/report/tables/mod.ts";
import { hundredfold } from "../../../lib/report/pair-tables/mod.ts";

Deno.test("joinRare() joins the rarest reason to the next rarest (by hand)", () => {
  const reasons = [
    { label: "endocarditis", count: 61 },
    { label: "other cause", count: 13 },
    { label: "salvage", count: 3 },
    { label: "redo", count: 116 },
  ];
  assert.deepEqual(joinRare(reasons, 11), [
    { label: "endocarditis", count: 61 },
    { label: "other cause, or salvage", count: 16 },
    { label: "redo", count: 116 },
  ]);
});

Deno.test("joinRare() keeps the sum, and no joined count below the smallest cell", () => {
  fc.assert(fc.property(
    fc.array(fc.nat(40), { maxLength: 8 }),
    fc.integer({ min: 1, max: 15 }),
    (counts, smallest) => {
      const joined = joinRare(counts.map((count, i) => ({ label: `r${i}`, count })), smallest);
      const sum = (values: number[]) => values.reduce((total, value) => total + value, 0);
      assert.equal(sum(joined.map(({ count }) => count)), sum(counts));
      assert.ok(joined.length <= 1 || joined.every(({ count }) => count >= smallest));
    },
  ));
});

Deno.test("scheduleTable() prints each quartile where it belongs, and no few visits for symptoms (by hand)", () => {
  const row = {
    arm: "repair" as const,
    patients: 40,
    patientYears: 150,
    visits: 90,
    scheduled: 70,
    symptoms: 18,
    reasonUnknown: 2,
    per100PatientYears: 60,
    neverSeen: 3,
    sinceLastVisit: { lower: 0.42, median: 1.13, upper: 2.86 },
  };
  const heading = { id: "echo-schedule", title: "Visits", caption: "", smallestCell: 11 };
  const [shown, few] = scheduleTable(heading, [row, { ...row, symptoms: 4 }]).rows;
  assert.deepEqual(shown, {
    arm: "Repair",
    visits: 90,
    rate: 60,
    symptoms: 0.2,
    median: 1.13,
    quartiles: "0.4 to 2.9",
  });
  assert.equal(few!.symptoms, null);
});

Deno.test("boundedCount() hides small counts but not zero", () => {
  assert.deepEqual([0, 1, 10, 11].map((n) => boundedCount(n, 11)), [0, "< 11", "< 11", 11]);
});

const contrast = {
  time: 5,
  groups: [
    { group: 0, estimate: 0.6, lower: 0.5, upper: 0.7, atRisk: 8 },
    { group: 1, estimate: 0.8, lower: 0.7, upper: 0.9, atRisk: 40 },
  ],
  difference: { estimate: 0.2, lower: 0.1, upper: 0.3, pValue: 0.001 },
};
const labels = { repair: "Repair", replacement: "Replacement" };

Deno.test("contrastTable() prints repair, replacement and repair minus replacement", () => {
  const { rows } = contrastTable(
    { id: "t", title: "t", caption: "c", quantity: "Alive", labels, smallestCell: 11 },
    [contrast],
  );
  assert.deepEqual(rows.map((row) => [row.group, row.estimate, row.atRisk, row.p]), [
    ["Repair", 80, 40, null],
    ["Replacement", 60, "< 11", null],
    ["Difference", 20, null, 0.001],
  ]);
});

Deno.test("contrastTable() bounds what another endpoint's number at risk would leave few of", () => {
  const { groups: [replacement, repair] } = contrast;
  const groups = [{ ...replacement!, atRisk: 60 }, { ...repair!, atRisk: 43 }];
  const { rows } = contrastTable({
    id: "t",
    title: "t",
    caption: "c",
    quantity: "Recurrence",
    labels,
    smallestCell: 11,
    within: [[{ ...contrast, time: 1, groups }], [{ ...contrast, groups }]],
  }, [contrast]);
  // by hand: 40 of the 43 at five years; 8 is small in any case
  assert.deepEqual(rows.map(({ atRisk }) => atRisk), ["> 32", "< 11", null]);
});

const about = {
  id: "f",
  endpoint: "death",
  quantity: "alive",
  design: "matched",
  estimand: "matched sample",
  tableId: "t",
  phrases: { repair: "an intended repair", replacement: "an intended replacement" },
  counts: [100, 90] as [number, number],
} as const;

Deno.test("findingOf() claims nothing where no interval exists, and says why", () => {
  const groups = contrast.groups.map((group) => ({ ...group, estimate: 1, lower: 1, upper: 1 }));
  const none = { estimate: 0, lower: 0, upper: 0, pValue: NaN };
  const eventless = findingOf({ ...contrast, groups, difference: none }, about);
  assert.ok(eventless.kind === "note" && eventless.about === "summary");
  assert.match(eventless.text, /^Alive 5 years after operation: nothing can be said/);
  const beyond = groups.map((group) => ({ ...group, estimate: NaN, lower: NaN, upper: NaN }));
  const short = findingOf({ ...contrast, groups: beyond, difference: none }, about);
  assert.ok(short.kind === "note");
  assert.match(short.text, /cannot be told, because follow-up does not reach/);
});

Deno.test("publishedFinding() and hundredfold() keep a tenth of one in 100", () => {
  const third = { estimate: 1 / 3, lower: 2 / 7, upper: 0.5 };
  const groups = contrast.groups.map((group) => ({ ...group, ...third }));
  const difference = { estimate: 0, lower: -1 / 7, upper: 1 / 7, pValue: 1 };
  const made = findingOf({ time: 5, groups, difference }, about);
  assert.ok(made.kind === "finding");
  const found = publishedFinding(made);
  const { estimate, lower, upper, n } = found.groups[0];
  assert.deepEqual([estimate, lower, upper, n], [0.333, 0.286, 0.5, 100]);
  assert.deepEqual(found.difference, { estimate: 0, lower: -0.143, upper: 0.143, pValue: 1 });
  assert.deepEqual(hundredfold(third), { estimate: 33.3, lower: 28.6, upper: 50 });
});

Deno.test("findingOf() puts repair first, so that the difference keeps its sign", () => {
  const found = findingOf(contrast, about);
  assert.ok(found.kind === "finding");
  assert.deepEqual(found.groups.map(({ label, estimate, n }) => [label, estimate, n]), [
    ["an intended repair", 0.8, 100],
    ["an intended replacement", 0.6, 90],
  ]);
  assert.equal(found.horizon, 5);
});
