// Of many units a replicate draws some: what comes of it is what drawing all gives.
import assert from "node:assert/strict";
import { bootstrapInWorkers, procedureBootstrap } from "mitral";
import { drawnOfMany, resampler, unitsIn } from "../../../lib/sensitivity/bootstrap/draws.ts";
import { jobKey } from "../../../lib/sensitivity/bootstrap/mod.ts";
import { replicateJob } from "../../../lib/sensitivity/bootstrap/bootstrap-in-workers.ts";
import { analysis, followUp, study } from "./bootstrap-parts.ts";

const random = resampler(5000, 8)(0).rows;
const x = Float64Array.from(random, (row) => row % 97);
const module = new URL("./means.ts", import.meta.url).href;
const statistic = { module, name: "means", input: x };

/** Standard errors of 400 draws each differ by 5% of themselves; 3 times that is allowed. */
function isNear(one: number, other: number): void {
  assert.ok(Math.abs(one / other - 1) < 0.15, `${one} and ${other}`);
}

Deno.test("up to 20,000 units all are drawn, of more 20,000: rows or clusters", () => {
  assert.equal(drawnOfMany(20_000), undefined);
  assert.equal(drawnOfMany(20_001), 20_000);
  const clusters = Int32Array.from({ length: 40_002 }, (_, i) => i >> 1);
  assert.equal(unitsIn({ clusters }), 20_001);
  assert.equal(drawnOfMany({ clusters }), 20_000);
  const { rows, unit } = resampler({ clusters }, 3, 7)(0);
  assert.deepEqual([rows.length, unit.at(-1)], [14, 6]);
  assert.equal(resampler(100, 3, 7)(0).rows.length, 7);
});

Deno.test("a mean of 500 drawn of 5,000 has the standard error of 5,000, normal limits", async () => {
  const options = { seed: 5, replicates: 400, workers: 0 };
  const [all] = await bootstrapInWorkers(5000, statistic, options);
  const [some] = await bootstrapInWorkers(5000, statistic, { ...options, drawn: 500 });
  // by hand: the spread of 0 to 96 drawn evenly, over root 5,000
  isNear(some!.standardError, Math.sqrt((97 ** 2 - 1) / 12 / 5000));
  isNear(some!.standardError, all!.standardError);
  assert.equal(some!.estimate, all!.estimate);
  assert.equal(some!.used.method, "normal");
  assert.match(some!.used.why, /replicates draw some/);
  assert.deepEqual(
    await bootstrapInWorkers(5000, statistic, { ...options, drawn: 500, workers: 2 }),
    await bootstrapInWorkers(5000, statistic, { ...options, drawn: 500 }),
  );
});

for (const design of ["weighted", "matched"] as const) {
  Deno.test(`the whole procedure, ${design}, on some of the patients gives the limits of all`, async () => {
    const options = { replicates: 200, parts: 10, horizons: [5], restrictedMeanHorizon: null };
    const data = { analysis, study, followUp, design };
    const { survival: [all] } = await procedureBootstrap(data, options);
    const { survival: [some] } = await procedureBootstrap(data, {
      ...options,
      drawn: Math.floor(analysis.n / 2),
    });
    assert.equal(some!.estimate, all!.estimate);
    // two standard errors of 200 draws each: 7% of themselves apart
    assert.ok(Math.abs(some!.standardError / all!.standardError - 1) < 0.21);
  });
}

Deno.test("a job of some units is another job, without a jackknife", () => {
  const plan = { seed: 5, wanted: 60, parts: 10 };
  const whole = replicateJob(40, statistic, plan);
  const part = replicateJob(40, statistic, { ...plan, drawn: 20 });
  assert.deepEqual([whole.parts, part.parts], [10, 0]);
  assert.notEqual(jobKey(whole), jobKey(part));
});
