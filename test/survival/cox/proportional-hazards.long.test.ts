import assert from "node:assert/strict";
import { balancingWeights, propensityScore, SeededRandom } from "mitral";
import { coxRegression } from "../../../lib/survival/cox/model/cox-regression.ts";
import { proportionalHazardsTest } from "../../../lib/survival/cox/checks/proportional-hazards.ts";

// Simulation: proportional hazards are true; the weights are those the library makes, of a score
// that is fitted anew in every cohort.
Deno.test("proportionalHazardsTest() under weights rejects a true null in about 5 in 100", () => {
  const random = new SeededRandom(41);
  const cohorts = 400;
  const designs = [
    ["overlap", false],
    ["everyone", false],
    ["everyone", true],
  ] as const;
  const rejected = designs.map(() => ({ test: 0, score: 0 }));
  for (let r = 0; r < cohorts; r++) {
    const x = Float64Array.from({ length: 240 }, () => random.normal());
    const treated = Float64Array.from(x, (v) => random.bernoulli(1 / (1 + Math.exp(-v))));
    const time: number[] = [];
    const event = Float64Array.from(x, (v) => {
      const failure = random.exponential(0.3 * Math.exp(0.8 * v));
      const end = 1 + 5 * random.uniform();
      time.push(Math.min(failure, end));
      return failure <= end ? 1 : 0;
    });
    const { score } = propensityScore({ treated, covariates: { x } });
    designs.forEach(([estimand, stabilized], d) => {
      const weight = balancingWeights({ treated, score }, { estimand, stabilized });
      const fit = coxRegression({ time, event, weight, covariates: { treated } });
      if (proportionalHazardsTest(fit).global.pValue < 0.05) rejected[d]!.test++;
      if (fit.robustScore!.pValue < 0.05) rejected[d]!.score++;
    });
  }
  // three Monte-Carlo errors about 5 in 100; weights fitted anew leave it a little below
  const most = cohorts * (0.05 + 3 * Math.sqrt(0.05 * 0.95 / cohorts));
  rejected.forEach(({ test, score }, d) => {
    assert.ok(test > 0.01 * cohorts && test < most, `${designs[d]}: ${test} of ${cohorts}`);
    assert.ok(score > 0 && score < most, `${designs[d]} robust score: ${score} of ${cohorts}`);
  });
});
