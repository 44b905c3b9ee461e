import assert from "node:assert/strict";
import { fileHeading, whereOf } from "../../../lib/report/validate/file-heading.ts";
import { smallStudy } from "../../cohort/small-cohort.ts";

// By hand.
Deno.test("fileHeading() gives the words by which the keeper of a file finds a column", () => {
  const { mapping } = smallStudy({
    mapping: {
      patients: {
        EF: { column: "lvef", unit: "fraction" },
        Sex: "sex",
        nyha: "nyha",
        "Jane Doe, born 3.4.1950 = 4711": "lvesd",
      },
      derived: {
        patients: [
          { rule: "days-between", column: "fu_days", from: "Operated", to: "Seen" },
        ],
        visits: [],
      },
    },
  });
  const heading = (column: string) => fileHeading(mapping, { table: "patients", column });
  assert.equal(heading("lvef"), "“EF”, converted from fraction");
  assert.equal(heading("sex"), "“Sex”");
  assert.equal(heading("nyha"), undefined);
  assert.equal(heading("age"), undefined);
  assert.equal(heading("fu_days"), "worked out from “Operated”, “Seen”");
  // a heading that could tell of somebody is not shown
  assert.equal(heading("lvesd"), undefined);
});

Deno.test("whereOf() names file, column and heading, as far as there are any", () => {
  assert.equal(whereOf({ file: "a.csv", column: null }), "a.csv");
  assert.equal(whereOf({ file: "a.csv", column: "age" }), "a.csv, age");
  const named = { file: "a.csv", column: "lvef", heading: "“EF”" };
  assert.equal(whereOf(named), "a.csv, lvef (in the file: “EF”)");
});
