import assert from "node:assert/strict";
import { intervalCensoredIncidence } from "mitral";
import { recurrenceShortcuts } from "mitral";
import { patients } from "./visited-cohorts.ts";

/** By the constant hazards above: the truth. */
const truth = (t: number) => 0.12 / 0.18 * (1 - Math.exp(-0.18 * t));

// Truth known by simulation; Monte-Carlo error from the replicates themselves.
for (const ratio of [1, 3]) {
  Deno.test(`intervalCensoredIncidence() recovers the truth (death ratio ${ratio} after)`, () => {
    const replicates = 8;
    const errors: number[] = [];
    const late: number[] = [];
    const ratios: number[] = [];
    for (let seed = 1; seed <= replicates; seed++) {
      const data = patients(800, 100 * ratio + seed, ratio);
      const fit = intervalCensoredIncidence(data, { tolerance: 1e-6 });
      assert.ok(fit.converged);
      errors.push(fit.at([5]).incidence[0]! - truth(5));
      ratios.push(Math.log(fit.deathRateRatio / ratio));
      const rows = recurrenceShortcuts(data, { times: [5], deathRateRatio: 1 });
      late.push(rows.find((row) => row.method === "date-found")!.incidence[0]! - truth(5));
    }
    const mean = (values: number[]) => values.reduce((a, b) => a + b, 0) / values.length;
    const error = (values: number[]) =>
      Math.sqrt(mean(values.map((x) => (x - mean(values)) ** 2)) / (values.length - 1));
    assert.ok(Math.abs(mean(errors)) < 3 * error(errors) + 0.005, `bias ${mean(errors)}`);
    assert.ok(Math.abs(mean(ratios)) < 3 * error(ratios) + 0.05, `ratio ${mean(ratios)}`);
    // the date of discovery is late, so its incidence is low
    assert.ok(mean(late) < -3 * error(late) && mean(late) < -0.03, `late ${mean(late)}`);
  });
}
