import assert from "node:assert/strict";
import type { Analysis, ReadingLog, VentricleAfter } from "../../../lib/cohort/mod.ts";
import {
  missingTable,
  procedureTable,
  publishableFlow,
  warningMarkTable,
} from "../../../lib/report/cohort-tables/mod.ts";
import { tableCsv } from "../../../lib/report/files/table-csv.ts";

const heading = { id: "t", title: "T", caption: "C" };
const smallestCell = 11;

Deno.test("warningMarkTable() hides a small group so that its size does not follow from the others", () => {
  const marks: VentricleAfter["marks"] = [
    { arm: "repair", marks: "none", n: 4, low: 1 },
    { arm: "repair", marks: "one", n: 60, low: 20 },
    { arm: "repair", marks: "both", n: 90, low: 30 },
    { arm: "replacement", marks: "none", n: 30, low: 3 },
    { arm: "replacement", marks: "one", n: 70, low: 30 },
    { arm: "replacement", marks: "both", n: 80, low: 40 },
  ];
  const { rows, notes } = warningMarkTable(
    { ...heading, smallestCell },
    { marks } as VentricleAfter,
  );
  // by hand: the small one needs one other of its row and both of theirs in the other group
  assert.deepEqual(rows.map(({ n }) => n), [null, null, 90, null, null, 80]);
  assert.deepEqual(rows.map(({ low }) => low), [null, null, 0.333, null, null, 0.5]);
  assert.equal(notes?.length, 1);
});

Deno.test("missingTable() shows neither few missing nor few that have a value", () => {
  const row = (missing: number, applies: number) => ({ missing, applies });
  const { rows } = missingTable(
    { ...heading, smallestCell },
    [
      {
        column: "a",
        label: "A",
        stage: "pre-operative",
        repair: row(4, 100),
        replacement: row(95, 100),
      },
      {
        column: "b",
        label: "B",
        stage: "pre-operative",
        repair: row(25, 100),
        replacement: row(0, 100),
      },
    ],
  );
  const [a, b] = rows;
  assert.deepEqual([a?.repair, a?.repairShare], ["< 11", null]);
  assert.deepEqual([a?.replacement, a?.replacementShare], [null, null]);
  assert.deepEqual([b?.repair, b?.repairShare, b?.replacement], [25, 0.25, 0]);
});

Deno.test("procedureTable() bounds what would give a rare conversion away", () => {
  const procedures = (repairReplacement: number, repairRepair = 200) =>
    procedureTable(heading, {
      repairRepair,
      repairReplacement,
      replacementRepair: 0,
      replacementReplacement: 150,
      conversions: [],
    }, smallestCell).rows[0];
  // 203 together: 200 and 3 would follow from each other
  assert.deepEqual(procedures(3), {
    intended: "Repair",
    total: 203,
    repair: "> 192",
    replacement: "< 11",
    share: null,
  });
  assert.equal(procedures(40)?.share, 0.167);
  // of 14 neither is told: the other would follow
  const few = procedures(5, 9);
  assert.deepEqual([few?.total, few?.repair, few?.replacement], [14, "< 14", "< 14"]);
});

Deno.test("publishableFlow() does not show a few exclusions as a difference", () => {
  const flow = (excluded: number) =>
    publishableFlow(
      {
        n: 500,
        study: { smallestCell },
        flow: [
          { id: "file", reason: "in the file", excluded: 0, remaining: 500 + excluded },
          { id: "a", reason: "too young", excluded, remaining: 500 },
        ],
        groups: { by: "intended", labels: { repair: "R", replacement: "P" }, counts: {} },
        procedures: { conversions: [] },
      } as unknown as Analysis,
      { log: [] },
      [],
    );
  assert.equal(flow(40).start.count, 540);
  assert.equal(flow(4).start.count, 500);
  assert.deepEqual(flow(4).steps, []);
  assert.match(flow(4).start.label, /fewer than 11/);
});

Deno.test("publishableFlow() says what became of visits and cells, few of them bounded", () => {
  const analysis = {
    n: 500,
    study: { smallestCell },
    flow: [{ id: "file", reason: "in the file", excluded: 0, remaining: 500 }],
    groups: { by: "intended", labels: { repair: "R", replacement: "P" }, counts: {} },
    procedures: { conversions: [] },
  } as unknown as Analysis;
  const log = (rowsSetAside: number, cellsBlanked: number) =>
    [
      { table: "patients", rowsRead: 500, rowsSetAside: 0, cellsBlanked },
      { table: "visits", rowsRead: 2000, rowsSetAside, cellsBlanked },
    ] as ReadingLog[];
  assert.deepEqual(publishableFlow(analysis, { log: log(0, 0) }, []).unused, []);
  assert.deepEqual(publishableFlow(analysis, { log: log(30, 20) }, []).unused, [
    "Echo visits: 2,000 in the file, 30 not usable",
    "Single values that cannot be true, taken as missing: 40",
  ]);
  assert.deepEqual(publishableFlow(analysis, { log: log(3, 2) }, []).unused, [
    "Echo visits: 2,000 in the file, < 11 not usable",
    "Single values that cannot be true, taken as missing: < 11",
  ]);
});

Deno.test("tableCsv() leaves no formula behind a separator or a line break in the text", () => {
  const csv = (text: string) =>
    tableCsv({ ...heading, columns: [{ key: "a", label: "A" }], rows: [{ a: text }] });
  // Source: OWASP, CSV Injection: separators and quotation marks begin new cells
  for (const text of ["a;=cmd|'/C calc'!A0", 'x"\n=1+1', "a\t@SUM(1)", "b; \u3000+1", "a\r\n-1"]) {
    assert.ok(
      !/(^|[;\t\r\n])[\s\u3000]*[=+\-@]/m.test(csv(text).split("\r\n").slice(1).join("\r\n")),
      csv(text),
    );
  }
  assert.match(csv("aortic; mitral"), /aortic; mitral/);
});
