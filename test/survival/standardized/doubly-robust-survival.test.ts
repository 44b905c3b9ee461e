import assert from "node:assert/strict";
import { coxRegression, doublyRobustSurvival, SeededRandom, standardizedSurvival } from "mitral";
import { invented } from "./invented.ts";

/** Mean over a standard normal x of exp(-0.1 t exp(0.8 x - 0.5 a)), by the trapezium rule. */
function trueSurvival(t: number, a: 0 | 1): number {
  let sum = 0;
  for (let x = -8; x <= 8; x += 0.01) {
    sum += 0.01 * Math.exp(-x * x / 2) * Math.exp(-0.1 * t * Math.exp(0.8 * x - 0.5 * a));
  }
  return sum / Math.sqrt(2 * Math.PI);
}

// The truth by numerical integration of the generator. Over 60 cohorts the mean error of what should
// be unbiased stays within 4 Monte-Carlo errors, and that of what should not be goes beyond 6. A wrong
// model lacks x, which decides everything.
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

Deno.test("doublyRobustSurvival() warns where censoring leaves no chance of being seen", () => {
  const data = invented(4, 400);
  // follow-up ends at a time that u fixes: nobody with a small u could be seen at 5
  const u = data.time.map((_, i) => (i % 40) / 4);
  const time = data.time.map((t, i) => Math.min(t, u[i]! + 0.01));
  const event = data.event.map((code, i) => data.time[i]! <= u[i]! + 0.01 ? code : 0);
  const ended = { ...data, time, event, covariates: { ...data.covariates, u } };
  const { warnings } = doublyRobustSurvival(ended, { times: [5] });
  assert.match(warnings.join(" "), /At 5, some rows had next to no chance of being followed/);
  const models = { censoring: ["x"] };
  assert.deepEqual(doublyRobustSurvival(ended, { times: [5], models }).warnings, []);
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

Deno.test("doublyRobustSurvival() counts predictions below 0, and gives no limits without events", () => {
  const data = invented(9, 120);
  // the covariate decides almost alone when a row has its event
  const time = data.time.map((value, i) => value * Math.exp(-3 * data.covariates.x[i]!));
  const steep = { ...data, time };
  const { warnings } = doublyRobustSurvival(steep, { times: [8] });
  const below = standardizedRowsBelow(steep);
  assert.equal(warnings.some((text) => /fell below 0 for \d+ of 120/.test(text)), below > 0);
  assert.ok(below > 0, "the case should have some");
  const few = data.event.map((code, i) => i < 4 ? code : 0);
  const { contrasts, warnings: told } = doublyRobustSurvival({ ...data, event: few }, {
    times: [1],
  });
  assert.ok(Number.isNaN(contrasts[0]!.difference.standardError));
  assert.ok(told.some((text) => /no more events than covariates/.test(text)));
});

/** Rows and groups for which a step of the group's own model takes more than all survival away. */
function standardizedRowsBelow(data: ReturnType<typeof invented>): number {
  let count = 0;
  for (const group of [0, 1]) {
    const rows = [...data.treated.keys()].filter((i) => data.treated[i] === group);
    const pick = (values: Float64Array) => rows.map((i) => values[i]!);
    const { x, z } = data.covariates;
    const fit = coxRegression(
      { time: pick(data.time), event: pick(data.event), covariates: { x: pick(x), z: pick(z) } },
      { ties: "breslow" },
    );
    const { time, cumulativeHazard } = fit.baselineHazard();
    const [first, second] = fit.terms.map(({ coefficient }) => coefficient);
    x.forEach((value, i) => {
      const risk = Math.exp(first! * (value - fit.means.x!) + second! * (z[i]! - fit.means.z!));
      let below = false;
      for (let u = 0; u < time.length && time[u]! <= 8; u++) {
        if (risk * (cumulativeHazard[u]! - (cumulativeHazard[u - 1] ?? 0)) >= 1) below = true;
      }
      if (below) count++;
    });
  }
  return count;
}
