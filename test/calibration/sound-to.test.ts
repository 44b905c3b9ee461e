import assert from "node:assert/strict";
import { limitsHeld, soundTo } from "mitral";

// Regression: our own results, made by printed/calibrate-printed.ts.
const { cohorts, quantities } = limitsHeld().find(({ mix }) => mix === "demo")!;
const shares = quantities.filter(({ quantity }) => quantity.startsWith("leak among the living"));

/** In how many of 100 cohorts the limits held the truth, in the group in which they did least. */
function held(counting: string, time: number): number {
  const own = shares.filter((row) => row.quantity.endsWith(counting) && row.time === time);
  assert.equal(own.length, 2);
  return Math.round(100 * Math.min(...own.map(({ coverage }) => coverage)));
}

Deno.test("no estimate is shown past where simulated cohorts show it to hold", () => {
  assert.ok(cohorts >= 200);
  const times = [...new Set(shares.map(({ time }) => time))].sort((a, b) => a - b);
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
  for (const time of [2, 3, 5, 7, 10]) assert.ok(held("as-seen", time) < 90);
});

Deno.test("limitsHeld() has every quantity of the first page in both case mixes", () => {
  const mixes = limitsHeld();
  assert.deepEqual(mixes.map(({ mix }) => mix), ["demo", "harder"]);
  for (const { mix, quantities } of mixes) {
    for (const quantity of ["death", "valve-failure", "recurrence", "reoperation"]) {
      for (const time of [1, 5, 10]) {
        const row = quantities.find((one) =>
          one.quantity === quantity && one.design === "weighted" && one.time === time &&
          one.population === "everyone" && one.of === "repair - replacement"
        );
        assert.ok(row && row.cohorts >= 200 && row.coverage > 0.85, `${mix} ${quantity} ${time}`);
      }
    }
    // three Monte-Carlo errors below 95% in 400 cohorts: 95 - 3 sqrt(95 5 / 400) = 91.7 (by hand)
    for (const { coverage, tooSeldom, cohorts } of quantities) {
      if (cohorts > 400) continue;
      if (coverage >= 0.95) assert.ok(!tooSeldom);
      if (coverage < 0.85) assert.ok(tooSeldom);
    }
  }
});
