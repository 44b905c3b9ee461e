// Of many rows the interaction with a measurement is read against chi-square, in place of draws.
import assert from "node:assert/strict";
import { distributions, SeededRandom } from "mitral";
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
