import assert from "node:assert/strict";
import fc from "fast-check";
import {
  DataError,
  durableRepair,
  kaplanMeier,
  knownDurable,
  referralTable,
  SeededRandom,
} from "mitral";
import { assertClose } from "../close.ts";

/** Operations with known chances: repaired, failing, dying and lost at given yearly rates. */
function operations(seed: number, n: number, rates = { fails: 0.05, dies: 0.03, lost: 0.1 }) {
  const random = new SeededRandom(seed);
  const made = { repaired: [] as number[], time: [] as number[], event: [] as number[] };
  for (let i = 0; i < n; i++) {
    made.repaired.push(random.bernoulli(0.8));
    const times = [
      random.exponential(rates.lost),
      random.exponential(rates.fails),
      random.exponential(rates.dies),
    ];
    const first = Math.min(...times);
    made.time.push(first);
    made.event.push(times.indexOf(first));
  }
  return made;
}

// By hand: of 5, one not repaired; of four repairs one failed at 1, one lost at 2, one died at 3,
// one on. At 4: not repaired 1/5; failed 1/5; then 3 at risk, one lost at 2, of 2 one dies at 3.
Deno.test("durableRepair() by hand", () => {
  const [row] = durableRepair({
    repaired: [0, 1, 1, 1, 1],
    time: [9, 1, 2, 3, 6],
    event: [0, 1, 0, 2, 0],
  }, { times: [4] });
  assertClose(row!.notRepaired.estimate, 1 / 5);
  assertClose(row!.failed.estimate, 1 / 5);
  assertClose(row!.died.estimate, 3 / 5 / 2);
  assertClose(row!.aliveAndDurable.estimate, 3 / 5 / 2);
  assertClose(row!.durable.estimate, 3 / 5);
  assert.equal(row!.atRisk, 1);
});

// Identities: shares sum to 1; without death and with all repaired, free of failure is
// Kaplan-Meier.
Deno.test("durableRepair() divides all patients, and is Kaplan-Meier where nobody dies", () => {
  fc.assert(
    fc.property(fc.integer({ min: 1, max: 1e6 }), (seed) => {
      const data = operations(seed, 60);
      for (const row of durableRepair(data, { times: [1, 4] })) {
        const { notRepaired, failed, died, aliveAndDurable, durable } = row;
        const sum = [notRepaired, failed, died, aliveAndDurable]
          .reduce((total, { estimate }) => total + estimate, 0);
        assertClose(sum, 1);
        assertClose(durable.estimate, died.estimate + aliveAndDurable.estimate);
        assert.ok(durable.lower <= durable.estimate && durable.estimate <= durable.upper);
      }
      const event = data.event.map((code) => code === 1 ? 1 : 0);
      const all = { repaired: event.map(() => 1), time: data.time, event };
      const { survival } = kaplanMeier({ time: data.time, event }).at([3]);
      assertClose(durableRepair(all, { times: [3] })[0]!.durable.estimate, survival[0]!);
    }),
    { numRuns: 20 },
  );
});

// Hard edge: a residual leak fails at 0; groups with everybody or nobody repaired.
Deno.test("durableRepair() counts a leak left at once, and groups of one kind", () => {
  const rows = durableRepair({
    repaired: [1, 1, 0, 0],
    time: [0, 5, 0, 0],
    event: [1, 0, 0, 0],
    group: ["many", "many", "few", "few"],
  }, { times: [0, 3] });
  const of = (group: string, time: number) =>
    rows.find((row) => row.group === group && row.time === time)!;
  assertClose(of("many", 0).failed.estimate, 0.5);
  assertClose(of("many", 3).durable.estimate, 0.5);
  assert.equal(of("few", 3).durable.estimate, 0);
});

// Identity: the weighted share is 1 - the incidence of failure with death
// competing, times repaired.
Deno.test("knownDurable() stands for those lost from sight", () => {
  for (const seed of [1, 2, 3]) {
    const data = operations(seed, 200);
    const { outcome, weight, unknown } = knownDurable(data, 3);
    const [row] = durableRepair(data, { times: [3] });
    const total = weight.reduce((sum, w) => sum + w, 0);
    assertClose(total, 200, { relative: 1e-9, absolute: 0 });
    const share = weight.reduce((sum, w, i) => sum + w * outcome[i]!, 0) / total;
    assertClose(share, row!.durable.estimate);
    assert.ok(unknown > 0);
  }
});

// By hand: nobody lost, the answer is known for all; a failure at the horizon counts.
Deno.test("knownDurable() counts a failure at the horizon", () => {
  const { outcome, weight } = knownDurable({
    repaired: [1, 1, 1, 0],
    time: [5, 5, 9, 0],
    event: [1, 0, 1, 0],
  }, 5);
  assert.deepEqual([...outcome], [0, 1, 1, 0]);
  assert.deepEqual([...weight], [1, 1, 1, 1]);
});

// By simulation: two profiles and two bands whose log odds add up; the truth by formula.
Deno.test("referralTable() finds the chance of a durable repair", () => {
  const random = new SeededRandom(31);
  const n = 6000;
  const rows = {
    repaired: [] as number[],
    time: [] as number[],
    event: [] as number[],
    profile: [] as string[],
    band: [] as string[],
    cluster: [] as number[],
  };
  const truth = { "easy many": 0.9, "easy few": 0.8, "hard many": 0.7, "hard few": 0.509 };
  for (let i = 0; i < n; i++) {
    const profile = i % 2 ? "easy" : "hard";
    const band = i % 3 ? "many" : "few";
    const durable = random.bernoulli(truth[`${profile} ${band}`]);
    const lost = 8 * random.uniform();
    const fails = 5 * random.uniform();
    rows.repaired.push(1);
    const failed = !durable && fails < lost;
    rows.time.push(failed ? fails : lost);
    rows.event.push(failed ? 1 : 0);
    rows.profile.push(profile);
    rows.band.push(band);
    rows.cluster.push(i % 40);
  }
  const { cells, converged } = referralTable(rows, { horizon: 5 });
  assert.equal(converged, true);
  assert.equal(cells.length, 4);
  for (const { profile, band, n, unknown, chance } of cells) {
    const expected = truth[`${profile} ${band}` as keyof typeof truth];
    assert.ok(Math.abs(chance.estimate - expected) < 0.035, `${profile} ${band}`);
    assert.ok(chance.lower < expected + 0.02 && expected - 0.02 < chance.upper);
    assert.ok(n > 900 && unknown > 0);
  }
});

Deno.test("referralTable() counts the surgeons that its chances rest on", () => {
  const random = new SeededRandom(6);
  const row = Array.from({ length: 300 }, (_, i) => i);
  const data = {
    repaired: row.map(() => random.bernoulli(0.7)),
    time: row.map(() => 9),
    event: row.map(() => 0),
    profile: row.map((i) => i % 2 ? "easy" : "hard"),
    band: row.map((i) => i % 4 < 2 ? "many" : "few"),
    cluster: row.map((i) => i % 3),
  };
  const { cells } = referralTable(data, { horizon: 5 });
  for (const { surgeons, surgeonsOfBand } of cells) {
    assert.equal(surgeons, 3);
    assert.equal(surgeonsOfBand, 3);
  }
  const alone = referralTable({ ...data, cluster: undefined } as never, { horizon: 5 });
  assert.ok(alone.cells.every((cell) => !("surgeons" in cell)));
});

Deno.test("the durable functions say what is wrong with their input", () => {
  const data = { repaired: [1, 0], time: [1, 0], event: [0, 0] };
  assert.throws(
    () => durableRepair({ ...data, event: [3, 0] }, { times: [1] }),
    new DataError("event", "an integer >= 0 and <= 2", 3, 0),
  );
  assert.throws(() => durableRepair(data, { times: [] }), DataError);
  assert.throws(() => knownDurable(data, 0), DataError);
  assert.throws(
    () => referralTable({ ...data, profile: ["A", "A"], band: ["B", "B"] }, { horizon: 0.5 }),
    DataError,
  );
});
