import { deepEqual, equal, ok, throws } from "node:assert/strict";
import { parse } from "csv-parse/sync";
import fc from "fast-check";
import { tableCsv } from "../../../lib/report/files/table-csv.ts";
import { table } from "../../../lib/report/show/table.ts";

const heading = { id: "t", title: "T", caption: "" };
const headingsOf = (labels: readonly string[], value: string | number = "a"): string[] => {
  const columns = labels.map((label, index) => ({ key: `k${index}`, label }));
  const row = Object.fromEntries(columns.map(({ key }) => [key, value]));
  return parse(tableCsv({ ...heading, columns, rows: [row] }))[0] ?? [];
};

// Expected by hand from tables that once had two columns of one name.
const cases: [what: string, labels: string[], expected: string[]][] = [
  [
    "limits of two quantities",
    ["Outcome", "Difference", "95% from", "to", "Drawn towards the others", "95% from", "to"],
    [
      "Outcome",
      "Difference",
      "Difference, 95% from",
      "Difference, to",
      "Drawn towards the others",
      "Drawn towards the others, 95% from",
      "Drawn towards the others, to",
    ],
  ],
  [
    "limits that name what they limit",
    ["Difference", "As given, 95% from", "to", "Repeated, 95% from", "to"],
    ["Difference", "As given, 95% from", "As given, to", "Repeated, 95% from", "Repeated, to"],
  ],
  [
    "limits of which one pair names what it limits",
    ["Difference", "97.5% from", "to", "All pairs together, 97.5% from", "to"],
    [
      "Difference",
      "Difference, 97.5% from",
      "Difference, to",
      "All pairs together, 97.5% from",
      "All pairs together, to",
    ],
  ],
  [
    "a share of each group",
    ["Event", "Repair", "Share", "Replacement", "Share"],
    ["Event", "Repair", "Repair, Share", "Replacement", "Replacement, Share"],
  ],
  ["one alone", ["Difference", "95% from", "to"], ["Difference", "95% from", "to"]],
  ["nothing to be told apart by", ["A", "A"], ["A", "A (2)"]],
];

Deno.test("tableCsv() gives each column a heading of its own, by what it belongs to", () => {
  for (const [what, labels, expected] of cases) deepEqual(headingsOf(labels), expected, what);
});

Deno.test("tableCsv() gives each column a heading of its own, whatever the labels", () => {
  const label = fc.constantFrom("to", "95% from", "Share", "Repair", "A, 95% from", "Share (2)");
  fc.assert(fc.property(fc.array(label, { minLength: 1, maxLength: 9 }), (labels) => {
    // of numbers printed shorter than they are kept too, which have a second column each
    for (const value of ["a", 0.123456]) {
      const found = headingsOf(labels, value);
      equal(new Set(found).size, found.length, found.join(" | "));
      ok(found.every((text) => text !== ""));
    }
  }));
});

Deno.test("table() refuses a column without a heading", () => {
  const columns = [{ key: "a", label: "" }];
  throws(() => table({ ...heading, columns, rows: [{ a: "x" }] }), { name: "DataError" });
});
