import assert from "node:assert/strict";
import { describeFailure } from "../../lib/report/notebooks/notebook.ts";
import { contradictions, readSaid } from "../report/sentences/sentence-numbers.ts";
import { quickReport } from "../report/workspace.ts";
import { judge } from "../hostile/judge.ts";
import { type Cut, demo, type PlanJson, reportOnCut } from "../hostile/cut-cohort.ts";

// What must hold for a group's own files: every notebook runs to its end on cohorts that are
// smaller, narrower or emptier than the demonstration. Invented data, cut from `data-demo/`.

/** What failed, what a sentence says that no finding or table has, what was not foretold. */
const failuresOf = async (rows: Cut["rows"], plan?: Cut["plan"]) =>
  judge(await reportOnCut({ rows, plan }));

const leaveOut = (names: readonly string[]) => (plan: PlanJson) => {
  plan.adjustment.covariates = plan.adjustment.covariates
    .filter(({ column }) => !names.includes(column));
};

Deno.test("the notebooks run on the second centre's files", async () => {
  const out = await Deno.makeTempDir({ prefix: "mitral-test-" });
  try {
    const { model } = await quickReport({ study: demo("second-centre/study.json"), out });
    assert.deepEqual(model.failures.map(describeFailure), []);
    assert.deepEqual(contradictions(readSaid(out)), []);
  } finally {
    await Deno.remove(out, { recursive: true });
  }
});

Deno.test("the notebooks run on sixty patients", async () => {
  assert.deepEqual(await failuresOf((patients, visits) => [patients.slice(0, 60), visits]), []);
});

Deno.test("the notebooks run on degenerative disease alone, and where no line is planned", async () => {
  const found = await failuresOf(
    (patients, visits) => [patients.filter((row) => row.aetiology === "degenerative"), visits],
    leaveOut(["tether", "ipmd", "aetiology"]),
  );
  assert.deepEqual(found, []);
});

Deno.test("the notebooks run on functional disease alone, and on groups by the final procedure", async () => {
  const functional = ["ischaemic", "functional_nonischaemic"];
  const report = await reportOnCut({
    rows: (patients, visits) => [
      patients.filter(({ aetiology }) => functional.includes(aetiology ?? "")),
      visits,
    ],
    plan: (plan) => plan.groups = { by: "final" },
  });
  assert.deepEqual(judge(report, { mustNotSay: /after an intended (repair|replacement)/i }), []);
});

Deno.test("the notebooks run where hardly anybody was looked at and no leak was found", async () => {
  const found = await failuresOf((patients, visits) => [
    patients,
    visits.filter((row, i) => i % 20 === 0 && Number(row.mr) < 2),
  ]);
  assert.deepEqual(found, []);
});

Deno.test("without grades on leaving theatre nothing is said of recurrence, and all else is there", async () => {
  const { validation, ...report } = await reportOnCut({
    rows: (patients, visits) => [patients.map((row) => ({ ...row, mr_exit: "" })), visits],
  });
  assert.deepEqual(judge({ validation, ...report }), []);
  assert.deepEqual(report.failures, []);
  assert.match(report.text, /Nobody of one group could be followed for “Moderate or worse/);
  assert.match(report.text, /Where there can be no effect/, "what comes after it in its notebook");
});

Deno.test("where a comparison cannot be made the report says which and why, and has the rest", async () => {
  const report = await reportOnCut({
    rows: (patients, visits) => [patients.filter((row) => row.intended === "repair"), visits],
  });
  const { failures } = report;
  assert.match(failures.join("\n"), /two groups with patients, to be compared/);
  assert.ok(failures.every((line) => !line.startsWith("01-cohort")), failures.join("\n"));
  // validation had said so
  assert.deepEqual(judge(report), []);
});

Deno.test("where groups are by the final procedure, nothing says that they are as intended", async () => {
  const { failures, text } = await reportOnCut({
    notebooks: ["01-cohort", "02-balance", "07-ventricle"],
    plan: (plan) => plan.groups = { by: "final" },
  });
  assert.deepEqual(failures, []);
  assert.match(text, /takes each patient by the valve the patient left theatre with/);
  assert.match(text, /after a completed repair and [\d,]+ after a completed replacement/);
  const intended = /.{0,80}(intended (repair|replacement)|(repair|replacement) intended).{0,80}/gi;
  assert.deepEqual(text.match(intended), null);
});
