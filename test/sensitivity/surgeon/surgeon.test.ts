import assert from "node:assert/strict";
import * as mitral from "mitral";
import { assertClose } from "../../close.ts";
import { designMatrix } from "../../../lib/balance/score/mod.ts";
import { analysis, study } from "../../demo-analysis.ts";

/** Patients of surgeons who differ in how often they repair; U, unmeasured, drives both. */
function cohort(seed: number, options: { n: number; surgeons: number; keenness: number }) {
  const { n, surgeons, keenness } = options;
  const random = new mitral.SeededRandom(seed);
  const leaning = Array.from({ length: surgeons }, () => keenness * random.normal());
  const surgeon = Array.from({ length: n }, (_, i) => `S${i % surgeons}`);
  const x = Float64Array.from({ length: n }, () => random.normal());
  const u = Float64Array.from({ length: n }, () => random.normal());
  const treated = u.map((own, i) =>
    random.bernoulli(1 / (1 + Math.exp(-(leaning[i % surgeons]! + own + 0.5 * x[i]!))))
  );
  // treatment adds 1, and so does U
  const outcome = treated.map((t, i) => t + u[i]! + 0.5 * x[i]! + random.normal());
  return { outcome, treated, surgeon, covariates: { x } };
}

Deno.test("preferenceInstrument() undoes an unmeasured confounder that ordinary regression cannot", () => {
  const estimates: number[] = [];
  for (let seed = 1; seed <= 20; seed++) {
    const found = mitral.preferenceInstrument(
      cohort(seed, { n: 2000, surgeons: 25, keenness: 1 }),
    );
    assert.ok(found.ordinary.lower > 1.2, "ordinary regression is far off");
    assert.ok(found.strength.fStatistic > 10);
    estimates.push(found.difference.estimate);
  }
  const mean = estimates.reduce((sum, value) => sum + value, 0) / estimates.length;
  // standard error of one about 0.2, so of the mean of 20 about 0.05
  assert.ok(Math.abs(mean - 1) < 0.15, String(mean));
});

// identity: without covariates two-stage least squares is cov(y, z) / cov(treated, z)
Deno.test("preferenceInstrument() without covariates is a ratio of covariances", () => {
  const { outcome, treated, surgeon } = cohort(3, { n: 400, surgeons: 12, keenness: 1 });
  const { preference, difference } = mitral.preferenceInstrument({ outcome, treated, surgeon });
  const mean = (values: Float64Array) => values.reduce((sum, v) => sum + v, 0) / values.length;
  const covariance = (a: Float64Array, b: Float64Array) =>
    a.reduce((sum, v, i) => sum + (v - mean(a)) * (b[i]! - mean(b)), 0);
  assertClose(
    difference.estimate,
    covariance(outcome, preference) / covariance(treated, preference),
  );
  // by hand: the preference is the surgeon's share among the others, repaired or not oneself
  for (let row = 0; row < 40; row++) {
    const own = surgeon.map((code, i) => code === surgeon[row] && i !== row ? treated[i]! : NaN)
      .filter((v) => !Number.isNaN(v));
    assertClose(preference[row]!, own.reduce((sum, v) => sum + v, 0) / own.length);
  }
});

Deno.test("studyInstrument() needs to know every patient's surgeon", () => {
  const { surgeon, ...others } = analysis.columns;
  const withSurgeons = (own?: readonly string[]) =>
    mitral.studyInstrument(
      { ...analysis, columns: own ? { ...others, surgeon: [...own] } : others },
      study,
    );
  const none = { none: "The surgeon is not recorded for every patient." };
  assert.deepEqual(withSurgeons(), none);
  const known = surgeon as string[];
  assert.deepEqual(withSurgeons(known.map((code, row) => row === 7 ? "" : code)), none);
  const found = withSurgeons(known);
  assert.ok(!("none" in found) && found.surgeons > 2);
  // survival, not death: what is gained is years of life
  const { time, event } = mitral.followUpOf(analysis, "death");
  const died = mitral.pseudoValues({ time, event }, { time: study.mainHorizon });
  const alone = (outcome: Float64Array) =>
    mitral.preferenceInstrument({
      outcome,
      treated: analysis.treated,
      surgeon: known,
      covariates: designMatrix(analysis, study).covariates,
    }).difference.estimate;
  assertClose(found.difference.estimate, alone(died.map((value) => 1 - value)));
  const one = withSurgeons(known.map(() => "S1"));
  assert.ok("none" in one && /at least two surgeons/.test(one.none));
});

Deno.test("preferenceInstrument() says why not", () => {
  const none = mitral.preferenceInstrument(cohort(2, { n: 300, surgeons: 5, keenness: 0 }));
  assert.ok(none.against.some((words) => /5 surgeons, too few/.test(words)));
  assert.ok(none.against.length >= 2, none.against.join(" "));
  // patients who differ between surgeons
  const { outcome, treated, surgeon } = cohort(4, { n: 2000, surgeons: 20, keenness: 1 });
  const { preference } = mitral.preferenceInstrument({ outcome, treated, surgeon });
  const unlike = mitral.preferenceInstrument({
    outcome,
    treated,
    surgeon,
    covariates: { like: preference.map((p, i) => p + (i % 3) / 10) },
  });
  assert.ok(unlike.against.some((words) => /differ in 1 of 1 columns/.test(words)));
  assert.throws(
    () => mitral.preferenceInstrument({ outcome: [1, 2], treated: [0, 1], surgeon: ["a", "b"] }),
    /at least two surgeons/,
  );
});

Deno.test("pseudoValues() average to the curve, and are the outcome where nobody is censored", () => {
  const random = new mitral.SeededRandom(6);
  const time = Float64Array.from({ length: 200 }, () => 1 + 9 * random.uniform());
  const event = time.map(() => random.integer(3));
  const values = mitral.pseudoValues({ time, event }, { cause: 1, time: 6 });
  const { causes } = mitral.cumulativeIncidence({ time, event });
  const mean = values.reduce((sum, v) => sum + v, 0) / values.length;
  assertClose(mean, causes[0]!.at([6]).incidence[0]!);
  const all = event.map(() => 1 + random.integer(2));
  mitral.pseudoValues({ time, event: all }, { cause: 2, time: 6 }).forEach((value, i) =>
    assertClose(value, all[i] === 2 && time[i]! <= 6 ? 1 : 0)
  );
  const followed = { time: [1, 2], event: [1, 0] };
  assert.throws(() => mitral.pseudoValues(followed, { time: 3 }), /last observed time/);
  // where nobody is left without an event, what is known goes on
  assert.deepEqual(
    [...mitral.pseudoValues({ time: [1, 2], event: [1, 2] }, { cause: 1, time: 3 })],
    [1, 0],
  );
});
