import { deepEqual, equal } from "node:assert/strict";
import { exclusionRows, readCohort, selectEligible } from "../../lib/cohort/mod.ts";
import { openStudy } from "../../lib/study/mod.ts";
import { readRows } from "./small-cohort.ts";

const redo = { id: "redo", reason: "previous operation", column: "redo", exclude: { oneOf: [1] } };

// By hand.
Deno.test("exclusionRows() says who was excluded, and what the error was", async () => {
  const { cohort, study } = await readRows(
    [{ lvef: 90, nyha: 5 }, {}, { redo: 1 }, {}],
    [{ id: "P0004", day: 30, mr: 5 }],
    { eligibility: [redo] },
  );
  deepEqual(exclusionRows(cohort, selectEligible(cohort, study)), [
    {
      id: "P0001",
      row: 1,
      step: "invalid-value",
      reason: "invalid value in the patient's row",
      detail: "nyha: not between 1 and 4; lvef: not between 5 and 85 %",
    },
    { id: "P0003", row: 3, step: "redo", reason: "previous operation", detail: "" },
    {
      id: "P0004",
      row: 4,
      step: "invalid-visit",
      reason: "echo visit without a valid day and grade",
      detail: "mr: not between 0 and 4 grade",
    },
  ]);
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
