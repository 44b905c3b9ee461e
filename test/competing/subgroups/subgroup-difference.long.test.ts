import assert from "node:assert/strict";
import { subgroupDifference } from "../../../lib/competing/subgroups/subgroup-difference.ts";
import { SeededRandom } from "../../../lib/numerics/mod.ts";
import { invented } from "./subgroup-cohorts.ts";

// Simulation, seeded, no interaction. 200 tries at 5 %: more than 19 has probability 0.003.
const plans = {
  "4 events against 10": { n: 400, rates: [0.006, 0.01], share: 0.3 },
  "a small side": { n: 400, rates: [0.012, 0.012], share: 0.1 },
  "risk doubled inside in both": { n: 400, rates: [0.03, 0.03], ratio: 2, share: 0.3 },
  "weights that go with the line": { n: 400, rates: [0.02, 0.04], share: 0.3, weighted: true },
} as const;
for (const [name, plan] of Object.entries(plans)) {
  Deno.test(`subgroupDifference() finds nothing in about 95 % of cohorts: ${name}`, () => {
    const random = new SeededRandom(21);
    let found = 0;
    let tried = 0;
    for (let run = 0; run < 200; run++) {
      const { data, inside } = invented(random, plan);
      const { interaction } = subgroupDifference(data, inside, {
        cause: 1,
        time: 5,
        assignments: 99,
        seed: run,
      });
      if (interaction.tooFew) continue;
      tried++;
      if (interaction.pValue <= 0.05) found++;
    }
    assert.ok(tried > 140, `${tried} tried`);
    assert.ok(found <= 19, `${found} of ${tried}`);
  });
}

Deno.test("subgroupDifference() finds an interaction that is there", () => {
  const random = new SeededRandom(22);
  const inside = Uint8Array.from({ length: 600 }, () => random.bernoulli(0.3));
  const group = inside.map(() => random.bernoulli(0.5));
  const time = Float64Array.from(
    group,
    (one, i) => random.exponential(one && inside[i] ? 0.15 : 0.03),
  );
  const event = time.map(() => 1);
  const { interaction } = subgroupDifference({ time, event, group }, inside, { cause: 1, time: 5 });
  assert.equal(interaction.pValue, 0.001);
  assert.ok(interaction.lower > 0);
});
