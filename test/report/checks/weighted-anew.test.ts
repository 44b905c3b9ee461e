import { deepEqual, notDeepEqual } from "node:assert/strict";
import * as mitral from "mitral";

const study = await mitral.openStudy();
const analysis = mitral.selectEligible(await mitral.readCohort(study), study);
const asked = { time: 5, confidence: 0.9 };

Deno.test("survivalWeightedAnew() is the comparison under weights of this analysis (identity)", () => {
  const death = mitral.followUpOf(analysis, "death");
  const compare = mitral.survivalWeightedAnew(death, asked);
  const { weight } = mitral.weightedSample(analysis, study);
  const [direct] = mitral.survivalDifference(mitral.underWeights(death, weight), {
    times: [5],
    confidence: 0.9,
  });
  deepEqual(compare(analysis), direct);
  deepEqual(compare(analysis, study), direct);
});

Deno.test("incidenceWeightedAnew() follows the plan it is handed (identity)", () => {
  const recurrence = mitral.followUpOf(analysis, "recurrence");
  const compare = mitral.incidenceWeightedAnew(recurrence, asked);
  const [first, ...covariates] = study.adjustment.covariates;
  const fewer = { ...study, adjustment: { ...study.adjustment, covariates } };
  const { weight } = mitral.weightedSample(analysis, fewer);
  const options = { cause: 1, times: [5], confidence: 0.9 };
  const [direct] = mitral.incidenceDifference(mitral.underWeights(recurrence, weight), options);
  deepEqual(compare(analysis, fewer), direct, `without ${first?.column}`);
  notDeepEqual(compare(analysis), direct);
});
