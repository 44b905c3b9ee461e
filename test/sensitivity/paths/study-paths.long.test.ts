import assert from "node:assert/strict";
import * as mitral from "mitral";
import { assertClose } from "../../close.ts";

const study = await mitral.openStudy();
const cohort = await mitral.readCohort(study);
const plan: mitral.Study = { ...study, missing: { ...study.missing, method: "mean-and-mark" } };

Deno.test("studyPaths() has the plan's own answer among many, and says which choice matters", async () => {
  const { survival, valve } = await mitral.studyPaths(cohort, plan, { sets: 2, workers: 0 });
  assert.ok(survival && valve);
  assert.ok(survival.paths.length >= 60 && valve.paths.length >= 60);
  assert.deepEqual([survival.failed, valve.failed], [[], []]);
  const analysis = mitral.selectEligible(cohort, plan);
  const { weight } = mitral.weightedSample(analysis, plan);
  const options = { times: [plan.mainHorizon], confidence: plan.confidence };
  const alive = mitral.underWeights(mitral.followUpOf(analysis, "death"), weight);
  const [direct] = mitral.survivalDifference(alive, options);
  const own = survival.paths[survival.planned!]!;
  assert.deepEqual(own.choices, {
    design: "overlap",
    missing: "mean-and-mark",
    score: "planned",
    groups: "intended",
  });
  assertClose(own.estimate, direct!.difference.estimate);
  assertClose(own.lower, direct!.difference.lower);
  const found = valve.paths.find(({ choices }) =>
    choices.endpoint === "found" &&
    Object.entries(own.choices).every(([id, option]) => choices[id] === option)
  )!;
  const recurrence = mitral.underWeights(mitral.followUpOf(analysis, "recurrence"), weight);
  const [leak] = mitral.incidenceDifference(recurrence, { cause: 1, ...options });
  assertClose(found.estimate, leak!.difference.estimate);
  for (const { influence, paths } of [survival, valve]) {
    const range = paths.at(-1)!.estimate - paths[0]!.estimate;
    assert.ok(influence.every(({ spread, share }) => spread <= 2 * range && share <= 1));
    assert.ok(paths.every(({ estimate }, k) => k === 0 || estimate >= paths[k - 1]!.estimate));
  }
  // pooled over completed sets: wider than any one of them would be on average,
  // never without limits
  const imputed = survival.paths.filter(({ choices }) => choices.missing === "impute");
  assert.ok(imputed.length >= 20 && imputed.every(({ standardError }) => standardError > 0));
});
