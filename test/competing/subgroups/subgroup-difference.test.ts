import assert from "node:assert/strict";
import fc from "fast-check";
import { interactionOverLines } from "../../../lib/competing/subgroups/interaction-over-lines.ts";
import {
  dividesBothGroups,
  subgroupContrasts,
  subgroupDifference,
} from "../../../lib/competing/subgroups/subgroup-difference.ts";
import { incidenceDifference } from "../../../lib/competing/incidence/incidence-difference.ts";
import { DataError, SeededRandom } from "../../../lib/numerics/mod.ts";
import { assertClose } from "../../close.ts";
import { event, group, invented, time } from "./subgroup-cohorts.ts";

const subgroup = [...Array(8).fill(1), ...Array(8).fill(0), NaN];

Deno.test("subgroupDifference() contrasts two differences (by hand)", () => {
  const found = subgroupDifference({ time, event, group }, subgroup, { cause: 1, time: 2 });
  assert.deepEqual(found.counts, { inside: 8, outside: 8, unknown: 1 });
  assertClose(found.inside.difference.estimate, 0.5);
  assertClose(found.outside.difference.estimate, -0.25);
  assertClose(found.interaction.estimate, 0.75);
  const variance = (0.75 * 0.25 + 0.25 * 0.75 + 0.25 * 0.75 + 0.5 * 0.5) / 4;
  assertClose(found.interaction.standardError, Math.sqrt(variance));
  assert.equal(found.interaction.events, 7);
  assert.equal(found.interaction.tooFew, true);
  assert.ok(Number.isNaN(found.interaction.pValue));
});

Deno.test("subgroupDifference() gives each side what incidenceDifference() gives it (identity)", () => {
  const found = subgroupDifference({ time, event, group }, subgroup, { cause: 1, time: 2 });
  const [alone] = incidenceDifference({
    time: time.slice(0, 8),
    event: event.slice(0, 8),
    group: group.slice(0, 8),
  }, { cause: 1, times: [2] });
  assert.deepEqual(found.inside, alone);
});

Deno.test("subgroupDifference() refuses clusters, other codes and a side without one group", () => {
  const refuses = (run: () => unknown, pattern: RegExp) =>
    assert.throws(run, (e: unknown) => e instanceof DataError && pattern.test(e.message));
  const options = { cause: 1, time: 2 };
  const clustered = { time, event, group, cluster: group };
  refuses(() => subgroupDifference(clustered, subgroup, options), /cluster must be left out/);
  refuses(
    () => subgroupDifference({ time, event, group }, subgroup.with(0, 2), options),
    /subgroup\[0\] must be 0, 1 or NaN, got 2/,
  );
  const lopsided = group.map((label) => label === "b" ? 1 : 0);
  refuses(() => subgroupDifference({ time, event, group }, lopsided, options), /both groups/);
});

// Identity: what is worked out over and over for drawn lines is what the curves give, with weights
// and delayed entry too.
Deno.test("subgroupDifference() tests the interaction that it prints (identity)", () => {
  const random = new SeededRandom(8);
  const { data, inside } = invented(random, { n: 300, rates: [0.1, 0.2], share: 0.4 });
  const weight = data.time.map(() => 0.2 + random.uniform());
  const entry = data.time.map((t) => t * 0.5 * random.uniform());
  for (const more of [{}, { weight }, { weight, entry }]) {
    const found = subgroupDifference({ ...data, ...more }, inside, { cause: 1, time: 4 });
    const contrasts = subgroupContrasts({ ...data, ...more }, inside, { cause: 1, time: 4 });
    assertClose(found.interaction.estimate, contrasts.interaction.estimate);
    assertClose(found.interaction.standardError, contrasts.interaction.standardError);
    const { estimate, lower, upper, pValue } = found.interaction;
    assertClose(upper - estimate, estimate - lower);
    // limits and test never contradict each other
    assert.equal(pValue <= 0.05, lower > 0 || upper < 0);
  }
});

Deno.test("subgroupDifference() counts a side without an event as known no better than it is", () => {
  const data = {
    time: new Float64Array(80).fill(1),
    event: Uint8Array.from({ length: 80 }, (_, i) => i < 40 ? (i % 2) : i < 60 ? (i % 2) : 0),
    group: Uint8Array.from({ length: 80 }, (_, i) => i < 40 ? 0 : 1),
  };
  const inside = Uint8Array.from({ length: 80 }, (_, i) => i % 40 < 20 ? 1 : 0);
  const { interaction, outside } = subgroupDifference(
    { ...data, time: data.time.map((t, i) => data.event[i] ? t : 3) },
    inside,
    { cause: 1, time: 2 },
  );
  assertClose(outside.difference.estimate, -0.5);
  // the fourth part of the variance: nobody of 20 had it, so up to 1 - 0.025^(1/20) may
  const share = 0.5 * 0.5 / 20;
  const unseen = (1 - 0.025 ** (1 / 20)) / 2;
  assertClose(interaction.standardError, Math.sqrt(3 * share + unseen ** 2));
});

// Identity: laid out once, any line gives what the curves of its four parts give; also with
// weights, late entry, tied times and a horizon past the last time of a part.
Deno.test("interactionOverLines() gives for each line what subgroupContrasts() gives (identity)", () => {
  const cohorts = fc.record({
    seed: fc.integer({ min: 1, max: 1e6 }),
    n: fc.integer({ min: 40, max: 200 }),
    weighted: fc.boolean(),
    late: fc.boolean(),
    ties: fc.boolean(),
    horizon: fc.integer({ min: 1, max: 9 }),
  });
  let unknown = 0;
  fc.assert(fc.property(cohorts, ({ seed, n, weighted, late, ties, horizon }) => {
    const random = new SeededRandom(seed);
    const { data } = invented(random, { n, rates: [0.1, 0.2], share: 0.4, weighted });
    const time = ties ? data.time.map((t) => Math.ceil(t)) : data.time;
    const entry = time.map((t) => t * 0.5 * random.uniform());
    const follow = { ...data, time, ...(late && { entry }) };
    const over = interactionOverLines(
      { ...follow, group: Int32Array.from(data.group) },
      { cause: 1, time: horizon },
    );
    for (const share of [0.3, 0.7]) {
      const side = Uint8Array.from(time, () => random.bernoulli(share));
      if (!dividesBothGroups(data.group, side)) continue;
      const { interaction } = subgroupContrasts(follow, side, { cause: 1, time: horizon });
      const found = over(side);
      if (Number.isNaN(interaction.estimate)) {
        unknown++;
        assert.ok(Number.isNaN(found.estimate) && Number.isNaN(found.standardError));
        continue;
      }
      assertClose(found.estimate, interaction.estimate, { relative: 1e-9, absolute: 1e-12 });
      assertClose(found.standardError, interaction.standardError, {
        relative: 1e-9,
        absolute: 1e-12,
      });
    }
  }));
  assert.ok(unknown > 0);
});
