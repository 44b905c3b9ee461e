// Of many rows interactions are read against chi-square or normal, in place of draws.
import assert from "node:assert/strict";
import { distributions, SeededRandom, subgroupDifference } from "mitral";
import { measurementInteraction } from "../../../lib/competing/subgroups/measurement-interaction.ts";

/** Follow-up in which the measurement means something in one group, the more the larger `more`. */
function followUp(n: number, more: number) {
  const random = new SeededRandom(21);
  const x = Float64Array.from({ length: n }, () => random.normal());
  const group = Uint8Array.from(x, () => random.bernoulli(0.5));
  const rate = x.map((value, i) => 0.15 * Math.exp(0.3 * value + more * value * group[i]!));
  const first = rate.map((own) => -Math.log(random.uniform()) / own);
  const time = first.map((own) => Math.min(own, 6));
  const event = Int32Array.from(first, (own) => own <= 6 ? (random.bernoulli(0.7) ? 1 : 2) : 0);
  return { data: { time, event, group }, columns: [x, x.map((value) => value ** 2)] };
}

for (const more of [0, 0.07]) {
  Deno.test(`at a size for draws, chi-square gives their p value (${more})`, () => {
    const { data, columns } = followUp(4000, more);
    const drawn = measurementInteraction(data, columns, { cause: 1, time: 5, assignments: 499 });
    const read = distributions.chiSquareUpper(drawn.statistic, 2);
    // three standard errors of a share over 499 draws, and one draw
    const chance = 3 * Math.sqrt(read * (1 - read) / 499) + 1 / 500;
    assert.ok(Math.abs(drawn.pValue - read) < chance, `${drawn.pValue} and ${read}`);
  });
}

Deno.test("more than 20,000 rows with many events are read against chi-square, no draw made", () => {
  const { data, columns } = followUp(21_000, 0.02);
  const one = measurementInteraction(data, columns, { cause: 1, time: 5, seed: 1 });
  const other = measurementInteraction(data, columns, { cause: 1, time: 5, seed: 2 });
  assert.ok(one.events > 1000);
  assert.equal(one.pValue, distributions.chiSquareUpper(one.statistic, 2));
  assert.deepEqual(one, other);
});

for (const more of [0, 0.15]) {
  Deno.test(`at a size for draws, the normal gives the p value and limits of a line (${more})`, () => {
    const { data, columns } = followUp(6000, more);
    const above = columns[0]!.map((x) => x > 0 ? 1 : 0);
    const drawn = subgroupDifference(data, above, { cause: 1, time: 5, assignments: 999 });
    const { estimate, standardError, lower, upper, pValue } = drawn.interaction;
    const read = distributions.normalTwoSided(estimate / standardError);
    // three standard errors of a share over 999 draws, and one draw
    const chance = 3 * Math.sqrt(read * (1 - read) / 999) + 1 / 1000;
    assert.ok(Math.abs(pValue - read) < chance, `${pValue} and ${read}`);
    // a 95% quantile of 999 draws of a normal distance lies within a tenth of its own
    assert.ok(Math.abs((upper - lower) / (2 * 1.959964 * standardError) - 1) < 0.1);
  });
}

Deno.test("more than 20,000 rows with many events on each side: normal, no line drawn", () => {
  const { data, columns } = followUp(21_000, 0.1);
  const above = columns[0]!.map((x) => x > 0 ? 1 : 0);
  const one = subgroupDifference(data, above, { cause: 1, time: 5, seed: 1 });
  const other = subgroupDifference(data, above, { cause: 1, time: 5, seed: 2 });
  const { estimate, standardError, lower, pValue } = one.interaction;
  assert.ok(Math.abs(pValue - distributions.normalTwoSided(estimate / standardError)) < 1e-12);
  assert.ok(Math.abs(lower - (estimate - 1.959963984540054 * standardError)) < 1e-12);
  assert.deepEqual(one, other);
  // a side with few events still has its lines drawn
  const few = columns[0]!.map((x) => x > 2.6 ? 1 : 0);
  const rare = subgroupDifference(data, few, { cause: 1, time: 5, seed: 1, assignments: 99 });
  assert.ok(Math.round(rare.interaction.pValue * 100) / 100 === rare.interaction.pValue);
});
