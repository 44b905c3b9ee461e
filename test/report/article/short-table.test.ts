import assert from "node:assert/strict";
import { shortTable } from "../../../lib/report/article/short-table.ts";
import { table } from "../../../lib/report/show/mod.ts";

// by hand: rows of two outcomes in two populations
const item = table({
  id: "populations-table",
  title: "Every outcome",
  caption: "At 5 years.",
  columns: [
    { key: "population", label: "Patients", kind: "text" },
    { key: "outcome", label: "Outcome", kind: "text" },
    { key: "difference", label: "Difference", kind: "number", digits: 1 },
    { key: "why", label: "Why no number", kind: "text" },
    { key: "status", label: "Status", kind: "text" },
  ],
  rows: [
    { population: "All", outcome: "Valve failure", difference: 4, why: null, status: "planned" },
    { population: "All", outcome: "Alive", difference: 1, why: "too few", status: "planned" },
    { population: "Some", outcome: "Valve failure", difference: 4, why: "", status: "planned" },
  ],
});
const placed = { item, notebook: "10-which-valves", cell: 1 } as unknown as Parameters<
  typeof shortTable
>[0];

Deno.test("a shortened table says once what its rows have in common, and where the rest is", () => {
  const short = shortTable(placed, { without: ["status"], rows: /^valve failure/i }).item;
  assert.deepEqual(short.columns.map(({ key }) => key), ["population", "difference"]);
  assert.deepEqual(short.rows.map(({ population }) => population), ["All", "Some"]);
  assert.equal(
    short.caption,
    "At 5 years. Valve failure. The whole table is in the supplement.",
  );
});

Deno.test("a table of some rows is called by them, where there are any", () => {
  const title = "Valve failure";
  assert.equal(shortTable(placed, { rows: /^valve failure/i, title }).item.title, title);
  assert.equal(shortTable(placed, { rows: /^nothing of the kind/, title }).item.title, item.title);
});

Deno.test("a table that is not shortened stays as it is, columns of one value and all", () => {
  assert.equal(shortTable(placed), placed);
  assert.equal(shortTable(placed, { rows: /^nothing of the kind/ }), placed);
  const one = shortTable(placed, { rows: /^alive/i }).item;
  assert.equal(one.columns.length, 5);
  assert.equal(one.rows.length, 1);
});
