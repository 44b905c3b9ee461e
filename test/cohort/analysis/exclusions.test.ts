import { deepEqual, equal, throws } from "node:assert/strict";
import { exclusionRows, readCohort, selectEligible, unusedRows } from "../../../lib/cohort/mod.ts";
import { openStudy } from "../../../lib/study/mod.ts";
import { readRows } from "../small-cohort.ts";

const redo = { id: "redo", reason: "previous operation", column: "redo", exclude: { oneOf: [1] } };

// By hand.
Deno.test("exclusionRows() says who was excluded, and what the error was", async () => {
  const { cohort, study } = await readRows(
    [{ lvef: 90, fu_days: -5, dead: 2 }, {}, { redo: 1 }, { nyha: 5 }],
    [{ id: "P0004", day: 30, mr: 5 }],
    { eligibility: [redo] },
  );
  deepEqual(exclusionRows(cohort, selectEligible(cohort, study)), [
    {
      id: "P0001",
      row: 1,
      step: "invalid-value",
      reason: "identity, group or follow-up cannot be told from the row",
      detail: "fu_days: not between 0 and 15000 days from operation (found -5); " +
        "dead: not between 0 and 1 (found 2)",
    },
    { id: "P0003", row: 3, step: "redo", reason: "previous operation", detail: "" },
  ]);
  // what is not used is listed beside them, and costs nobody
  deepEqual(unusedRows(cohort).map(({ what, id, detail }) => [what, id, detail]), [
    ["cell", "P0004", "nyha: not between 1 and 4 (found 5)"],
    ["cell", "P0001", "lvef: not between 5 and 85 % (found 90)"],
    ["visit", "P0004", "visit on line 2, mr: not between 0 and 4 grade (found 5)"],
  ]);
});

// By hand.
Deno.test("exclusionRows() says for each row of an operation entered twice which line is the other", async () => {
  const { cohort, study } = await readRows([{}, { case_seq: 5 }, {}, {}, {}, { case_seq: 5 }]);
  deepEqual(
    exclusionRows(cohort, selectEligible(cohort, study)).map(({ id, detail }) => [id, detail]),
    [
      ["P0002", "case_seq: has the place in the series of line 6 (found 5)"],
      ["P0005", "case_seq: has the place in the series of line 3 (found 5)"],
      ["P0006", "case_seq: has the place in the series of line 3 (found 5)"],
    ],
  );
});

// By hand: an error in a visit excludes nobody.
Deno.test("unusedRows() tells cells from visits, and names no text found", async () => {
  const { cohort, study } = await readRows(
    [{ nyha: "c4x" }, {}],
    [{ id: "P0001", day: 30, mr: 0, lvedd: 40, lvesd: 50 }, { id: "P0002", day: "", mr: 0 }],
  );
  deepEqual(exclusionRows(cohort, selectEligible(cohort, study)), []);
  deepEqual(unusedRows(cohort).map(({ what, id, detail }) => [what, id, detail]), [
    ["cell", "P0001", "nyha: is not a number"],
    ["visit", "P0002", "visit on line 3, day: is blank"],
    [
      "cell",
      "P0001",
      "visit on line 2, lvesd: is not below the end-diastolic diameter (found 50; lvedd 40)",
    ],
  ]);
});

// By hand: more of a kind than are listed row by row.
Deno.test("exclusionRows() has a detail for every row with an error, however many there are", async () => {
  const { cohort, study } = await readRows(Array.from({ length: 10_003 }, () => ({ dead: 7 })));
  const rows = exclusionRows(cohort, selectEligible(cohort, study));
  equal(rows.length, 10_003);
  equal(rows[0]?.detail, "dead: not between 0 and 1 (found 7)");
  equal(rows.at(-1)?.detail, "one of: dead: not between 0 and 1");
});

// Identity.
Deno.test("exclusionRows() refuses a flow that does not add up", async () => {
  const { cohort, study } = await readRows([{ redo: 1 }, {}], [], { eligibility: [redo] });
  const analysis = selectEligible(cohort, study);
  throws(() => exclusionRows(cohort, { ...analysis, excluded: [] }), /2 patients read, 1 analysed/);
  const flow = analysis.flow.map((step) => ({ ...step, excluded: 0 }));
  throws(() => exclusionRows(cohort, { ...analysis, flow }), /0 excluded at redo, 1 listed/);
});

// Identity: read = analysed + listed, step by step as the flow has it.
Deno.test("exclusionRows() adds up to the flow of the demonstration", async () => {
  const study = await openStudy();
  const cohort = await readCohort(study);
  const analysis = selectEligible(cohort, study);
  const rows = exclusionRows(cohort, analysis);
  equal(rows.length + analysis.n, cohort.n);
  for (const { id, excluded } of analysis.flow) {
    equal(rows.filter(({ step }) => step === id).length, excluded, id);
  }
});
