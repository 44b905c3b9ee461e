import assert from "node:assert/strict";
import { openAnalysis } from "../../../lib/missing/mod.ts";
import { onWarning } from "../../../lib/numerics/mod.ts";
import { validateStudy } from "../../../lib/report/validate/mod.ts";
import { type PlanJson, writeCut } from "../../hostile/cut-cohort.ts";

/** What validation and an opened analysis say of the words of a plan; patients are invented. */
async function saidOf(plan: (plan: PlanJson) => void) {
  const folder = await Deno.makeTempDir({ prefix: "mitral-test-" });
  const warnings: string[] = [];
  try {
    const study = await writeCut(folder, { plan }, { every: 8 });
    const { groups } = await validateStudy({ study });
    onWarning((text) => warnings.push(text));
    await openAnalysis(study);
    return { words: groups.filter(({ rule }) => rule === "plan-words"), warnings };
  } finally {
    onWarning(undefined);
    await Deno.remove(folder, { recursive: true });
  }
}

Deno.test("validation and the report say where a plan's words contradict its options", async () => {
  const { words, warnings } = await saidOf((plan) => {
    plan.question = "Does an intended repair last?";
    plan.groups = { by: "final", repair: "Repair intended" };
  });
  assert.deepEqual(words.map(({ severity, column }) => [severity, column]), [
    ["warning", "question"],
    ["warning", "groups.repair"],
  ]);
  assert.match(words[0]!.message, /says “intended repair”.*by the final operation/);
  assert.match(words[0]!.remedy, /write .*“completed repair”.*, line 1$/);
  const told = warnings.filter((text) => text.startsWith("In the plan, "));
  assert.equal(told.length, 2);
  assert.match(told[0]!, /^In the plan, question says “intended repair”, and the plan takes .*\.$/);
});

Deno.test("neither says anything of words that are the plan's", async () => {
  for (const by of ["intended", "final"]) {
    const { words, warnings } = await saidOf((plan) => plan.groups = { by });
    assert.deepEqual([words, warnings.filter((text) => text.startsWith("In the plan"))], [[], []]);
  }
});
