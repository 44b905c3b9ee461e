import assert from "node:assert/strict";
import { distributions, expectedPrecision } from "mitral";

// By hand, without competing events and with everybody followed: the difference of two proportions.
Deno.test("expectedPrecision() is that of two proportions where nothing competes or is censored", () => {
  const found = expectedPrecision({
    patients: [200, 200],
    share: 0.25,
    horizon: 5,
    difference: 0.1,
  }, { seed: 3, draws: 1500 });
  const errorOf = (p: number, q: number) => Math.sqrt((p * (1 - p) + q * (1 - q)) / 200);
  assert.ok(Math.abs(found.events - 100) < 1.5, String(found.events));
  // the spread of 1500 draws is known to 2 %
  assert.ok(Math.abs(found.standardError / errorOf(0.25, 0.25) - 1) < 0.06);
  const power = distributions.normalLower(0.1 / errorOf(0.3, 0.2) - 1.959964);
  assert.ok(Math.abs(found.power - power) < 0.04, `${found.power} for ${power}`);
  assert.ok(Math.abs(found.smallestFound / found.standardError - 2.801585) < 1e-4);
  // -log(1 - 0.3) / -log(1 - 0.2)
  assert.ok(Math.abs(found.hazardRatio - Math.log(0.7) / Math.log(0.8)) < 1e-9);
  // Schoenfeld's formula: 4 (z + z)^2 / log(HR)^2 events, a quarter of all patients having one
  const size = Math.log(found.hazardRatio);
  const events = 4 * 2.801585 ** 2 / size ** 2;
  assert.equal(found.eventsNeeded, Math.ceil(events));
  assert.ok(Math.abs(found.patientsNeeded / (4 * events) - 1) < 0.03);
  const expected = distributions.normalLower(Math.sqrt(found.events / 4) * size - 1.959964);
  assert.ok(Math.abs(found.powerOfHazards - expected) < 1e-6);
});

Deno.test("expectedPrecision() finds less where follow-up ends early or death competes", () => {
  const plan = { patients: [150, 150] as const, share: 0.2, horizon: 5, difference: 0.12 };
  const options = { seed: 11, draws: 150 };
  const whole = expectedPrecision(plan, options);
  const short = expectedPrecision({ ...plan, followUp: [1, 2, 4, 6, 8] }, options);
  assert.ok(short.events < whole.events);
  assert.ok(short.standardError > whole.standardError);
  assert.ok(short.power < whole.power);
  assert.ok(short.patientsNeeded > whole.patientsNeeded);
  const none = expectedPrecision({ ...plan, followUp: [0] }, options);
  assert.equal(none.patientsNeeded, Infinity);
  const rival = expectedPrecision({ ...plan, competing: 0.3 }, options);
  // as many events by the horizon: the competing share is beside it
  assert.ok(Math.abs(rival.events - whole.events) < 3);
  assert.deepEqual(expectedPrecision(plan, options), whole);
});

Deno.test("expectedPrecision() refuses what cannot be", () => {
  const plan = { patients: [50, 50] as const, share: 0.2, horizon: 5, difference: 0.1 };
  const call = (changed: object) => () => expectedPrecision({ ...plan, ...changed }, { seed: 1 });
  assert.throws(call({ share: 0.04 }), /share/);
  assert.throws(call({ competing: 0.9 }), /share/);
  assert.throws(call({ patients: [1, 50] }), /patients\[0\]/);
  assert.throws(call({ horizon: 0 }), /horizon/);
  assert.throws(call({ difference: 0 }), /difference/);
});
