import assert from "node:assert/strict";
import { parse } from "csv-parse/sync";
import { DataError } from "../../../lib/numerics/columns/errors.ts";
import { tableCsv } from "../../../lib/report/files/table-csv.ts";
import { displayHook, mitralMediaType } from "../../../lib/report/show/display.ts";
import { type DisplayTable, table, tableTree } from "../../../lib/report/show/table.ts";

function example(): DisplayTable {
  return table({
    id: "example",
    title: "Alive <b>",
    caption: "By group & time.",
    columns: [
      { key: "group", label: "Group" },
      { key: "years", label: "Time", unit: "years" },
      { key: "alive", label: "Alive", kind: "percent" },
      { key: "p", label: "p", kind: "pvalue" },
    ],
    rows: [
      { group: "=HYPERLINK(1)", years: 1, alive: 0.712, p: 1e-7 },
      { group: "<script>", years: -3, alive: NaN, p: null },
      { group: "c", years: Infinity, alive: 1, p: 1 },
    ],
  });
}

Deno.test("table() prints units in the heading and escapes everything", () => {
  const bundle = example()[displayHook]();
  const html = String(bundle["text/html"]);
  assert.match(html, /<th scope="col"[^>]*>Time <span class="unit whole">\(years\)<\/span><\/th>/);
  assert.match(html, /<th scope="col"[^>]*>Alive <span class="unit whole">\(%\)<\/span><\/th>/);
  assert.match(html, /<th class="name" scope="row">&lt;script><\/th>/);
  assert.match(html, /<td style="text-align:right">71\.2<\/td>/);
  assert.doesNotMatch(html, /<script>|<b>/);
});

Deno.test("table() carries numbers that JSON can hold, of four figures", () => {
  const data = JSON.parse(JSON.stringify(example()[displayHook]()[mitralMediaType]));
  assert.equal(data.kind, "table");
  assert.deepEqual(data.rows[0], { group: "=HYPERLINK(1)", years: 1, alive: 0.712, p: 1e-7 });
  assert.equal(data.rows[1].alive, null);
  assert.equal(data.rows[2].years, "∞");
});

Deno.test("table() keeps a tenth of one in 100 where a column is per 100, and of its limits", () => {
  const { rows } = table({
    id: "per-hundred",
    title: "Differences",
    caption: "",
    columns: [
      { key: "estimate", label: "Difference", unit: "per 100" },
      { key: "lower", label: "from" },
      { key: "ratio", label: "Ratio" },
    ],
    rows: [{ estimate: 100 / 3, lower: -200 / 7, ratio: 4 / 3 }],
  });
  assert.deepEqual(rows, [{ estimate: 33.3, lower: -28.6, ratio: 1.333 }]);
});

Deno.test("table() lines its text up", () => {
  const text = String(example()[displayHook]()["text/plain"]).split("\n");
  assert.deepEqual(text.slice(1), [
    "Group          Time (years)  Alive (%)        p",
    "-----------------------------------------------",
    "=HYPERLINK(1)             1       71.2  < 0.001",
    "<script>                 −3          –        –",
    "c                         ∞      100.0   > 0.99",
  ]);
});

Deno.test("tableCsv() neutralises text that begins a formula and leaves numbers alone", () => {
  const rows: string[][] = parse(tableCsv(example()));
  assert.deepEqual(rows, [
    ["Group", "Time (years)", "Alive (proportion)", "Alive, as printed", "p", "p, as printed"],
    ["'=HYPERLINK(1)", "1", "0.712", "71.2", "1e-7", "< 0.001"],
    ["<script>", "-3", "", "", "", ""],
    ["c", "∞", "1", "100.0", "1", "> 0.99"],
  ]);
  // Source: OWASP, "CSV Injection", the characters it names; full-width forms from memory
  for (const lead of ["=", "+", "-", "@", "\t", "\r", "＝", "＋", "－", "＠", " ="]) {
    const csv = tableCsv({
      columns: [{ key: "a", label: `${lead}A1` }],
      rows: [{ a: `${lead}A1` }],
    });
    for (const [cell] of parse(csv) as string[][]) assert.equal(cell, `'${lead}A1`);
  }
});

Deno.test("tableCsv() writes one kind of minus sign, and what is printed beside what is kept", () => {
  const columns = [{ key: "d", label: "Difference", digits: 1 }, { key: "w", label: "As text" }];
  const rows = [{ d: -4.4375, w: "−0.09" }, { d: 1.5, w: "–" }, { d: null, w: "-1+2" }];
  // by hand: −4.4375 to a decimal is −4.4; a dash is no value; only the last could be a formula
  const csv = tableCsv({ columns, rows });
  assert.deepEqual(parse(csv) as string[][], [
    ["Difference", "Difference, as printed", "As text"],
    ["-4.4375", "-4.4", "-0.09"],
    ["1.5", "1.5", ""],
    ["", "", "'-1+2"],
  ]);
});

Deno.test("table() refuses what it could not print or save", () => {
  const { columns, rows } = example();
  const good = { id: "x", title: "x", caption: "", columns, rows };
  assert.throws(() => table({ ...good, id: "../x" }), DataError);
  assert.throws(() => table({ ...good, columns: [] }), DataError);
  assert.throws(() => table({ ...good, columns: [...columns, ...columns] }), DataError);
  assert.throws(() => table({ ...good, rows: [{ group: "a" }] }), {
    name: "DataError",
    message: /^rows\.years\[0\] must be text, a number or null/,
  });
});

Deno.test("a table that does not fit across a page is marked to lie on its side", () => {
  // by hand: twelve columns of ten letters and two between them make 144, three make 36
  const of = (count: number) => {
    const keys = Array.from({ length: count }, (_, c) => `k${c}`);
    return tableTree({
      id: "t",
      title: "T",
      caption: "",
      columns: keys.map((key) => ({ key, label: "L" })),
      rows: [Object.fromEntries(keys.map((key) => [key, "x".repeat(10)]))],
    });
  };
  assert.deepEqual(of(12).properties.className, ["wide"]);
  assert.equal(of(3).properties.className, undefined);
});

Deno.test("table() keeps what is only for programs in its rows and files, and prints it nowhere", () => {
  const shown = table({
    id: "x",
    title: "x",
    caption: "",
    columns: [
      { key: "code", label: "Code", kind: "text", onlyInFiles: true },
      { key: "name", label: "Name", kind: "text" },
    ],
    rows: [{ code: "low-ejection-fraction", name: "Low ejection fraction" }],
  });
  assert.deepEqual(shown.rows, [{ code: "low-ejection-fraction", name: "Low ejection fraction" }]);
  assert.match(tableCsv(shown), /Code,Name\r\nlow-ejection-fraction,/);
  const bundle = shown[displayHook]();
  for (const mime of ["text/plain", "text/html"] as const) {
    assert.doesNotMatch(String(bundle[mime]), /Code|low-ejection/, mime);
    assert.match(String(bundle[mime]), /Low ejection fraction/, mime);
  }
  // the first column that is printed heads its row
  assert.match(String(bundle["text/html"]), /<th[^>]* scope="row"[^>]*>Low ejection/);
});
