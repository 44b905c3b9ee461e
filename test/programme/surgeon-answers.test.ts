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
  const mixed = found.mixed!;
  assert.ok(mixed.lower < mixed.oddsRatio && mixed.oddsRatio < mixed.upper);
  assert.ok(mixed.medianOddsRatio >= 1 && mixed.n <= analysis.n);
  const columns = { ...analysis.columns, surgeon: analysis.ids.map(() => "") };
  assert.throws(() => mitral.surgeonAnswers({ ...analysis, columns }, study), /surgeon must be/);
});

Deno.test("surgeonAnswers() has no odds ratio where nobody died, and says so", async () => {
  const study = await mitral.openStudy();
  const analysis = mitral.selectEligible(await mitral.readCohort(study), study);
  const dead = Float64Array.from(analysis.ids, () => 0);
  const columns = { ...analysis.columns, dead };
  const { mixed, patients, warnings } = mitral.surgeonAnswers({ ...analysis, columns }, study);
  assert.equal(mixed, null);
  assert.equal(Math.abs(patients.estimate), 0);
  assert.match(warnings.join(" "), /Nobody had died within 1 year, or everybody/);
});
