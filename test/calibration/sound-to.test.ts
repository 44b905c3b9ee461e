import assert from "node:assert/strict";
import { soundTo } from "mitral";
import type { VisitSharePerformance } from "./visit-shares.ts";

// Regression: our own results, made by calibrate-visits.ts.
const { cohorts, failures, rows }: {
  cohorts: number;
  failures: unknown[];
  rows: VisitSharePerformance[];
} = JSON.parse(Deno.readTextFileSync(new URL("./visit-shares.json", import.meta.url)));

/** In how many of 100 cohorts the limits held the truth, in the group in which they did least. */
function held(counting: string, time: number): number {
  const own = rows.filter((row) => row.counting === counting && row.time === time);
  assert.equal(own.length, 2);
  return Math.round(100 * Math.min(...own.map(({ coverage }) => coverage)));
}

Deno.test("no estimate is shown past where simulated cohorts show it to hold", () => {
  assert.ok(cohorts >= 150 && failures.length === 0);
  const times = [...new Set(rows.map(({ time }) => time))];
  for (const quantity of ["on-schedule", "by-visit-rate"] as const) {
    const sound = soundTo(quantity);
    // 95 of 100, less three Monte-Carlo errors
    const enough = 95 - 300 * Math.sqrt(0.95 * 0.05 / cohorts);
    const fails = times.find((time) => held(quantity, time) < enough);
    assert.equal(sound.failsAt, fails);
    assert.equal(sound.years, times.filter((time) => time < fails!).at(-1));
    assert.deepEqual(
      [sound.held, sound.heldThere],
      [held(quantity, sound.years), held(quantity, sound.failsAt)],
    );
    assert.ok(sound.words.includes(`${cohorts} simulated cohorts`));
  }
});

Deno.test("visits as seen hold nowhere: they are no estimate", () => {
  for (const time of [1, 2, 3, 5, 7, 10]) assert.ok(held("as-seen", time) < 90);
});
