import assert from "node:assert/strict";
import { openStudy, type Study } from "mitral";
import { planLines } from "../../../lib/report/supplement/plan-section.ts";

const study = await openStudy();
const adjustedFor = (missing: Partial<Study["missing"]>, each?: "imputed" | "stop") => {
  const covariates = study.adjustment.covariates.map((covariate) => (
    each ? { ...covariate, missing: each } : covariate
  ));
  const plan = {
    ...study,
    missing: { ...study.missing, ...missing },
    adjustment: { ...study.adjustment, covariates },
  };
  return planLines(plan).find(([term]) => term === "Adjusted for")![1];
};

Deno.test("what is done about missing values is told as the plan has it", () => {
  const words = {
    impute: /drawn 20 times .*pooled over the completed sets/,
    "mean-and-mark": /takes the mean of the others and is marked/,
    complete: /Patients with any of them missing are left out/,
  };
  for (const method of ["impute", "mean-and-mark", "complete"] as const) {
    const text = adjustedFor({ method, sets: 20 });
    for (const [other, said] of Object.entries(words)) {
      assert.equal(said.test(text), other === method, `${method}: ${text}`);
    }
  }
  assert.match(adjustedFor({ method: "impute", sets: undefined }), /once for each per cent/);
});

Deno.test("a covariate filled in without a mark, or that may not be missing, is named as such", () => {
  const filled = adjustedFor({ method: "mean-and-mark" }, "imputed");
  assert.match(filled, /Filled in without a mark: .*tethering/);
  assert.doesNotMatch(filled, /marked by a column/);
  assert.match(adjustedFor({ method: "impute" }, "stop"), /None may be missing: .*tethering/);
});

Deno.test("every endpoint is named before it is defined, once", () => {
  const lines = planLines(study).find(([term]) => term === "Endpoints")![1].split(/(?<=\.) /);
  const names = ["Death", "Valve failure", "Recurrence", "Severe recurrence", "Reoperation"];
  assert.equal(lines.length, names.length);
  lines.forEach((line, k) => {
    assert.match(line, new RegExp(`^${names[k]}(:| of any cause)`));
    assert.equal(line.match(/valve failure/gi)?.length ?? 0, k === 1 ? 1 : 0);
  });
});
