import assert from "node:assert/strict";
import * as mitral from "mitral";
import { assertClose } from "../close.ts";

Deno.test("surgeonAnswers() takes patients of one surgeon as alike, two ways", async () => {
  const study = await mitral.openStudy();
  const analysis = mitral.selectEligible(await mitral.readCohort(study), study);
  const found = mitral.surgeonAnswers(analysis, study);
  assert.ok(found.surgeons >= 2);
  assertClose(found.clustered.estimate, found.patients.estimate);
  assert.ok(found.clustered.standardError > 0);
  assert.ok(found.mixed.lower < found.mixed.oddsRatio && found.mixed.oddsRatio < found.mixed.upper);
  assert.ok(found.mixed.medianOddsRatio >= 1 && found.mixed.n <= analysis.n);
  const columns = { ...analysis.columns, surgeon: analysis.ids.map(() => "") };
  assert.throws(() => mitral.surgeonAnswers({ ...analysis, columns }, study), /surgeon must be/);
});
