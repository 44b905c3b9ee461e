import assert from "node:assert/strict";
import { measurementInteraction } from "../../../lib/competing/subgroups/measurement-interaction.ts";
import { SeededRandom } from "../../../lib/numerics/mod.ts";

/** Invented: `rates` of the event in each group, times exp(slope x) in both, death competing. */
function invented(
  random: SeededRandom,
  { n, rates, slope, weighted }: {
    n: number;
    rates: [number, number];
    slope: number;
    weighted: boolean;
  },
) {
  const rows = { time: [] as number[], event: [] as number[], group: [] as number[] };
  const x: number[] = [];
  const weight: number[] = [];
  for (let i = 0; i < n; i++) {
    const value = random.normal();
    const score = 1 / (1 + Math.exp(weighted ? 0.8 * value - 0.6 : -0.6));
    const group = random.bernoulli(score);
    const event = random.exponential(rates[group]! * Math.exp(slope * value));
    const death = random.exponential(0.04);
    const end = 2 + 8 * random.uniform();
    rows.time.push(Math.min(event, death, end));
    rows.event.push(event <= Math.min(death, end) ? 1 : death <= end ? 2 : 0);
    rows.group.push(group);
    x.push(value);
    weight.push(group === 1 ? 1 - score : score);
  }
  return { rows: weighted ? { ...rows, weight } : rows, x };
}

// Simulation, seeded, nothing to find. 120 tries at 5 %: more than 13 has probability 0.004.
const cases = {
  "4 events against 14": { n: 400, rates: [0.006, 0.012], slope: 0, weighted: false },
  "the measurement matters alike": { n: 400, rates: [0.03, 0.03], slope: 0.5, weighted: false },
  "weights that go with the measurement": { n: 400, rates: [0.02, 0.04], slope: 0, weighted: true },
} as const;
for (const [name, plan] of Object.entries(cases)) {
  Deno.test(`measurementInteraction() finds nothing in about 95 % of cohorts: ${name}`, () => {
    const random = new SeededRandom(11);
    let found = 0;
    let tried = 0;
    for (let run = 0; run < 120; run++) {
      const { rows, x } = invented(random, { ...plan, rates: [...plan.rates] });
      const bend = x.map((value) => Math.max(0, value) ** 2);
      const { pValue, tooFew } = measurementInteraction(rows, [x, bend], {
        cause: 1,
        time: 5,
        assignments: 99,
        seed: run,
      });
      if (tooFew) continue;
      tried++;
      if (pValue <= 0.05) found++;
    }
    assert.ok(tried > 100, `${tried} tried`);
    assert.ok(found <= 13, `${found} of ${tried}`);
  });
}
