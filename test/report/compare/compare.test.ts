import fc from "fast-check";
import { parseHTML } from "linkedom";
import { comparisonHtml } from "../../../lib/report/compare/html.ts";
import { planDifferences } from "../../../lib/report/compare/plans.ts";
import { type FinishedRun, readRun } from "../../../lib/report/compare/read.ts";
import { compareRuns } from "../../../lib/report/compare/runs.ts";
import { comparedTable, matchRows } from "../../../lib/report/compare/tables.ts";
import type { TableInput, TableRow } from "../../../lib/report/items/mod.ts";
import assert from "node:assert/strict";

const counts = (rows: TableRow[]): FinishedRun["tables"][number] => ({
  kind: "table",
  status: "planned",
  id: "flow-table",
  title: "Flow",
  caption: "",
  columns: [{ key: "step", label: "Step" }, { key: "patients", label: "Patients", kind: "number" }],
  rows,
});

function run(changes: Partial<FinishedRun> = {}, hash = "aa"): FinishedRun {
  return {
    name: "demo",
    manifest: {
      study: "demo",
      complete: true,
      seed: 1,
      inputs: [{ role: "cohort", name: "patients.csv", sha256: hash.repeat(32) }],
      versions: { deno: "2.9.6" },
      outputs: { "figures/flow.svg": hash },
      startedAt: "2026-01-01",
    },
    plan: { title: "Repair or replacement", seed: 1, eligibility: [{ id: "redo", oneOf: [1] }] },
    findings: [{
      kind: "finding",
      id: "alive",
      endpoint: "death",
      quantity: "alive",
      horizon: 5,
      design: "matched",
      estimand: "matched sample",
      groups: [
        { label: "repair", estimate: 0.8, lower: 0.75, upper: 0.84, n: 300 },
        { label: "replacement", estimate: 0.78, lower: 0.73, upper: 0.82, n: 300 },
      ],
      difference: { estimate: 0.02, lower: -0.04, upper: 0.08 },
      status: "planned",
      tableId: "t",
      headline: true,
      confidence: 0.95,
      smallestThatMatters: 0.05,
    }],
    tables: [counts([{ step: "In the file", patients: 900 }, { step: "Repair", patients: 600 }])],
    ...changes,
  };
}

Deno.test("compareRuns() finds no difference between a run and itself", () => {
  const same = compareRuns(run(), run());
  assert.equal(same.summary, "The two runs are the same in everything.");
  assert.deepEqual([same.plan, same.versions, same.flow, same.tables], [null, null, null, []]);
  assert.equal(same.same, 1);
});

Deno.test("compareRuns() shows inputs, plan, counts and estimates that differ (by hand)", () => {
  const other = run({
    plan: { title: "Repair or replacement", seed: 2, eligibility: [{ id: "redo", oneOf: [1, 2] }] },
    tables: [counts([{ step: "In the file", patients: 900 }, { step: "Repair", patients: 590 }])],
  }, "bb");
  other.findings = [{
    ...other.findings[0]!,
    groups: [
      { label: "repair", estimate: 0.81, lower: 0.75, upper: 0.84, n: 290 },
      { label: "replacement", estimate: 0.78, lower: 0.73, upper: 0.82, n: 290 },
    ],
    difference: { estimate: 0.03, lower: -0.03, upper: 0.09 },
  }];
  const { summary, inputs, plan, flow, estimates, figures } = compareRuns(run(), other);
  assert.equal(
    summary,
    "What differs: the data, the plan, the flow of patients and the main estimates. " +
      "What is the same: the program and other tables.",
  );
  assert.equal(inputs.rows[0]?.same, "no");
  assert.deepEqual(plan?.rows, [
    { name: "seed", a: "1", b: "2" },
    { name: "eligibility.redo.oneOf", a: "1", b: "1, 2" },
  ]);
  assert.deepEqual(
    flow?.rows.map((row) => [row.step, row["run:"], row.patients, row["differs:"]]),
    [
      ["Repair", "A", "600", "Patients"],
      ["", "B", "590", ""],
    ],
  );
  const lines = estimates?.rows.map(({ run, difference, lower, upper }) => [
    run,
    ...[difference, lower, upper].map((value) => Math.round(Number(value) * 10) / 10),
  ]);
  assert.deepEqual(lines, [["A", 2, -4, 8], ["B", 3, -3, 9]]);
  assert.deepEqual(figures, ["flow"]);
});

Deno.test("compareRuns() counts the fields of a mapping where many differ", () => {
  const patients = Object.fromEntries(
    Array.from({ length: 20 }, (_, i) => [`Column ${i}`, { column: "lvef", unit: "fraction" }]),
  );
  const mapped = run({ plan: { ...run().plan, mapping: { patients } } });
  assert.deepEqual(compareRuns(run(), mapped).plan?.rows, [
    { name: "mapping (fields that differ)", a: "0 fields", b: "40 fields" },
  ]);
});

Deno.test("compareRuns() names what only one run has", () => {
  const extra = { ...counts([{ step: "x", patients: 1 }]), id: "extra" };
  const other = run({ findings: [] });
  other.tables = [...other.tables, extra];
  const { onlyA, onlyB, estimates } = compareRuns(run(), other);
  assert.deepEqual([onlyA, onlyB], [[], ["extra"]]);
  assert.deepEqual(estimates?.rows.map(({ difference }) => difference), [2, null]);
});

// Property: rows are matched by what they say, not by where they stand.
// By hand: a run that stopped has no tables and no findings.
Deno.test("compareRuns() calls nothing the same of which a run has none", () => {
  const stopped = run({ tables: [], findings: [] });
  const one = compareRuns(run(), stopped);
  assert.deepEqual(one.withoutFlow, ["B"]);
  assert.match(one.summary, /^What differs: the flow of patients, the main estimates/);
  assert.match(comparisonHtml(one), /There is no flow of patients in run B: nothing can/);
  assert.doesNotMatch(comparisonHtml(one), /flow of patients is the same/);
  const both = compareRuns(stopped, stopped);
  assert.deepEqual(both.withoutFlow, ["A", "B"]);
  assert.doesNotMatch(both.summary, /flow|estimates/);
});

Deno.test("matchRows() does not mind the order of rows", () => {
  const rows = fc.uniqueArray(
    fc.record({ step: fc.string({ minLength: 1 }), patients: fc.nat(50) }),
    { selector: ({ step }) => step, minLength: 1, maxLength: 12 },
  );
  fc.assert(
    fc.property(
      rows.chain((list) =>
        fc.tuple(
          fc.constant(list),
          fc.shuffledSubarray(list, { minLength: list.length, maxLength: list.length }),
        )
      ),
      ([list, shuffled]) => {
        const { names, rows } = matchRows(counts(list), counts(shuffled));
        assert.equal(rows.length, list.length);
        // rows told apart by their place only may differ
        if (names.length > 0) assert.equal(comparedTable(counts(list), counts(shuffled)), null);
      },
    ),
    { seed: 8 },
  );
});

Deno.test("matchRows() names rows by years where the group repeats", () => {
  const table = (estimate: number): TableInput => ({
    id: "t",
    title: "T",
    caption: "",
    columns: [
      { key: "years", label: "Years", kind: "number" },
      { key: "group", label: "Group", kind: "text" },
      { key: "estimate", label: "Alive", kind: "number" },
    ],
    rows: [1, 5].flatMap((years) =>
      ["Repair", "Replacement"].map((group) => ({
        years,
        group,
        estimate: years === 5 && group === "Repair" ? estimate : 90,
      }))
    ),
  });
  const { names, rows } = matchRows(table(80), table(81));
  assert.deepEqual(names, ["years", "group"]);
  assert.deepEqual(rows.filter(({ differs }) => differs.length > 0).map(({ key }) => key), [
    { years: 5, group: "Repair" },
  ]);
});

Deno.test("planDifferences() compares lists of named things by name", () => {
  const a = { rules: [{ id: "x", below: 1 }, { id: "y", below: 2 }], horizons: [1, 5] };
  const b = { rules: [{ id: "y", below: 3 }], horizons: [1, 10] };
  assert.deepEqual(planDifferences(a, b), [
    { field: "rules.x.id", a: "x", b: null },
    { field: "rules.x.below", a: "1", b: null },
    { field: "rules.y.below", a: "2", b: "3" },
    { field: "rules (order)", a: "x, y", b: "y" },
    { field: "horizons", a: "1, 5", b: "1, 10" },
  ]);
  assert.deepEqual(planDifferences(a, structuredClone(a)), []);
});

Deno.test("comparisonHtml() runs nothing, fetches nothing and escapes what the runs say", () => {
  const hostile = '<img src=x onerror="alert(1)">';
  const b = run({ name: hostile, plan: { title: hostile, [hostile]: hostile } });
  b.tables = [counts([{ step: hostile, patients: 3 }])];
  const html = comparisonHtml(compareRuns(run(), b));
  const { document } = parseHTML(html);
  assert.equal(document.querySelectorAll("script, img, iframe, link, object").length, 0);
  assert.doesNotMatch(html, /https?:/);
  for (const element of document.querySelectorAll("*")) {
    for (const { name } of element.attributes) assert.doesNotMatch(name, /^on/i);
  }
  assert.equal(html, comparisonHtml(compareRuns(run(), b)));
});

Deno.test("readRun() names the file that is not a report's, in words", async () => {
  const folder = await Deno.makeTempDir();
  try {
    await Deno.writeTextFile(`${folder}/manifest.json`, '{"study":1}');
    await assert.rejects(
      readRun(folder),
      /manifest\.json is not as a report writes it, first at study; make the report again$/,
    );
  } finally {
    await Deno.remove(folder, { recursive: true });
  }
});

Deno.test("readRun() says what is not there", async () => {
  const folder = await Deno.makeTempDir();
  try {
    await assert.rejects(readRun(folder), /it holds no manifest\.json/);
    await Deno.writeTextFile(`${folder}/manifest.json`, JSON.stringify(run().manifest));
    await assert.rejects(readRun(folder), /it holds no findings\.json; make the report again/);
    const { plan, findings, tables } = run();
    await Deno.writeTextFile(`${folder}/findings.json`, JSON.stringify({ plan, findings, tables }));
    assert.deepEqual((await readRun(folder)).findings, findings);
  } finally {
    await Deno.remove(folder, { recursive: true });
  }
});
