import assert from "node:assert/strict";
import * as statistics from "simple-statistics";
import { SeededRandom } from "../../lib/numerics/replicates/random.ts";

Deno.test("SeededRandom repeats itself, and forks do not depend on earlier draws", () => {
  const [a, b] = [new SeededRandom(7), new SeededRandom(7)];
  assert.deepEqual([a.uniform(), a.normal()], [b.uniform(), b.normal()]);
  a.uniform();
  assert.equal(a.fork(3).bits(), b.fork(3).bits());
  assert.notEqual(a.fork(3).bits(), a.fork(4).bits());
  assert.notEqual(new SeededRandom(1).bits(), new SeededRandom(2).bits());
});

Deno.test("SeededRandom draws have the moments of their distribution", () => {
  const random = new SeededRandom(20);
  const n = 40_000;
  const uniform = Array.from({ length: n }, () => random.uniform());
  const normal = Array.from({ length: n }, () => random.normal());
  const exponential = Array.from({ length: n }, () => random.exponential(2));
  // Five standard errors of each mean and variance; the seed is fixed, so this cannot flicker.
  const close = (value: number, truth: number, standardError: number) =>
    assert.ok(Math.abs(value - truth) < 5 * standardError, `${value} is not near ${truth}`);
  close(statistics.mean(uniform), 0.5, Math.sqrt(1 / 12 / n));
  close(statistics.mean(normal), 0, Math.sqrt(1 / n));
  close(statistics.variance(normal), 1, Math.sqrt(2 / n));
  close(statistics.mean(exponential), 0.5, 0.5 / Math.sqrt(n));
  assert.ok(Math.min(...uniform) > 0 && Math.max(...uniform) < 1);
});

Deno.test("SeededRandom.shuffle() is a permutation and choice() follows its weights", () => {
  const random = new SeededRandom(3);
  const cards = Array.from({ length: 52 }, (_, i) => i);
  const shuffled = random.shuffle([...cards]);
  assert.notDeepEqual(shuffled, cards);
  assert.deepEqual([...shuffled].sort((a, b) => a - b), cards);
  const counts = [0, 0, 0];
  for (let i = 0; i < 9000; i++) counts[random.choice([1, 0, 2])]!++;
  assert.equal(counts[1], 0);
  assert.ok(Math.abs(counts[0]! - 3000) < 5 * Math.sqrt(2000)); // five binomial standard errors
});
