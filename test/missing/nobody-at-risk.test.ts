import { ok, throws } from "node:assert/strict";
import { followUpOf, openAnalysis, underWeights, valveCourse, valveEvents } from "mitral";
import { valveStates } from "../../lib/report/results/valve-states.ts";
import { writeCut } from "../hostile/cut-cohort.ts";

Deno.test("without grades on leaving theatre values are imputed, and what cannot be told says why", async () => {
  const folder = await Deno.makeTempDir({ prefix: "mitral-test-" });
  try {
    const study = await writeCut(folder, {
      rows: (patients, visits) => [patients.map((row) => ({ ...row, mr_exit: "" })), visits],
      plan: (plan) => plan.missing = { method: "impute", sets: 2, iterations: 1 },
    }, { every: 6 });
    const { analysis, labels } = await openAnalysis(study);
    const recurrence = followUpOf(analysis, "recurrence");
    ok(analysis.n > 100 && recurrence.rows.length === 0);
    // kinds of event that the file tells nothing of are left out, the others stay
    const kinds = valveEvents(analysis).map(({ id }) => id);
    ok(!kinds.includes("recurrence") && kinds.includes("death") && kinds.includes("reoperation"));
    const weight = new Float64Array(analysis.n).fill(1);
    throws(
      () => underWeights(recurrence, weight),
      /at least one patient at risk of the endpoint \(left out: .*theatre/,
    );
    throws(
      () => valveStates(valveCourse(analysis), { weight, labels, horizon: 5 }),
      /grade on leaving theatre/,
    );
  } finally {
    await Deno.remove(folder, { recursive: true });
  }
});
