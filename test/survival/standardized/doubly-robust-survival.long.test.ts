import assert from "node:assert/strict";
import { doublyRobustSurvival, SeededRandom, standardizedSurvival } from "mitral";
import { invented } from "./invented.ts";

/** Mean over a standard normal x of exp(-0.1 t exp(0.8 x - 0.5 a)), by the trapezium rule. */
function trueSurvival(t: number, a: 0 | 1): number {
  let sum = 0;
  for (let x = -8; x <= 8; x += 0.01) {
    sum += 0.01 * Math.exp(-x * x / 2) * Math.exp(-0.1 * t * Math.exp(0.8 * x - 0.5 * a));
  }
  return sum / Math.sqrt(2 * Math.PI);
}

// The truth by numerical integration of the generator. Over 60 cohorts the mean error of what
// should be unbiased stays within 4 Monte-Carlo errors, and that of what should not be goes beyond
// 6. A wrong model lacks x, which decides everything.
Deno.test("doublyRobustSurvival() is right where either side is, and wrong where both are", () => {
  const cohorts = 60;
  const [wrong, right] = [["z"], ["x", "z"]];
  const variants = {
    "all right": { survival: right, censoring: right, propensity: right },
    "survival wrong": { survival: wrong, censoring: right, propensity: right },
    "propensity and censoring wrong": { survival: right, censoring: wrong, propensity: wrong },
    "all wrong": { survival: wrong, censoring: wrong, propensity: wrong },
  };
  const truth = trueSurvival(5, 1) - trueSurvival(5, 0);
  const errors = new Map<string, number[]>();
  const add = (name: string, value: number) =>
    errors.set(name, [...errors.get(name) ?? [], value - truth]);
  for (let k = 0; k < cohorts; k++) {
    const data = invented(100 + k, 500);
    for (const [name, models] of Object.entries(variants)) {
      const { contrasts } = doublyRobustSurvival(data, { times: [5], models });
      add(name, contrasts[0]!.difference.estimate);
    }
    const { z } = data.covariates;
    add(
      "g-formula right",
      standardizedSurvival(data, { times: [5] }).contrasts[0]!.difference.estimate,
    );
    add(
      "g-formula wrong",
      standardizedSurvival({ ...data, covariates: { z } }, { times: [5] }).contrasts[0]!.difference
        .estimate,
    );
  }
  const standing = (name: string) => {
    const values = errors.get(name)!;
    const mean = values.reduce((sum, v) => sum + v, 0) / cohorts;
    const squares = values.reduce((sum, v) => sum + (v - mean) ** 2, 0);
    return Math.abs(mean) / Math.sqrt(squares / (cohorts - 1) / cohorts);
  };
  for (
    const name of [
      "all right",
      "survival wrong",
      "propensity and censoring wrong",
      "g-formula right",
    ]
  ) assert.ok(standing(name) < 4, `${name}: ${standing(name).toFixed(1)} Monte-Carlo errors off`);
  for (const name of ["all wrong", "g-formula wrong"]) {
    assert.ok(standing(name) > 6, `${name}: only ${standing(name).toFixed(1)}`);
  }
});

// Simulation: the truth by numerical integration, twenty columns of which eighteen say nothing.
Deno.test("doublyRobustSurvival() limits contain the truth as often as they say, late horizons too", () => {
  const cohorts = 200;
  const horizons = [5, 8];
  const noise = new SeededRandom(77);
  const held = horizons.map(() => 0);
  for (let k = 0; k < cohorts; k++) {
    const data = invented(1000 + k, 400);
    const columns = Array.from({ length: 18 }, (_, j) => [
      `noise${j}`,
      Float64Array.from(data.time, () => noise.normal()),
    ]);
    const covariates = { ...data.covariates, ...Object.fromEntries(columns) };
    const { contrasts } = doublyRobustSurvival({ ...data, covariates }, { times: horizons });
    contrasts.forEach(({ time, difference: { lower, upper } }, h) => {
      const truth = trueSurvival(time, 1) - trueSurvival(time, 0);
      if (lower <= truth && truth <= upper) held[h]!++;
    });
  }
  const error = Math.sqrt(0.95 * 0.05 / cohorts);
  held.forEach((count, h) => {
    const share = count / cohorts;
    assert.ok(Math.abs(share - 0.95) < 3 * error, `${horizons[h]}: ${share}`);
  });
});
