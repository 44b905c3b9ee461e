// The expansion for many trials against the exact distribution (poissonBinomial).
import assert from "node:assert/strict";
import { SeededRandom } from "mitral";
import { nearAlike, standardizedPredictions } from "../../lib/programme/predictions/mod.ts";
import {
  countTails,
  midLowerTail,
  poissonBinomial,
} from "../../lib/programme/repair-rate/poisson-binomial.ts";
import { trialCounts } from "../../lib/programme/repair-rate/trial-counts.ts";

/** Unequal chances about a mean, with a variance just past what is worked out exactly. */
function chances(mean: number): Float64Array {
  const random = new SeededRandom(8);
  const n = Math.ceil(1.2 * 400 / (mean * (1 - mean)));
  return Float64Array.from({ length: n }, () => {
    const logOdds = Math.log(mean / (1 - mean)) + 0.8 * random.normal();
    return 1 / (1 + Math.exp(-logOdds));
  });
}

for (const share of [0.01, 0.1, 0.5, 0.9, 0.995]) {
  Deno.test(`trialCounts() of many trials is as exact as convolution: about ${share}`, () => {
    const chance = chances(share);
    const variance = chance.reduce((sum, p) => sum + p * (1 - p), 0);
    assert.ok(variance > 400, `${variance}`);
    const mass = poissonBinomial(chance);
    const many = trialCounts(chance);
    const mean = chance.reduce((sum, p) => sum + p, 0);
    for (let z = -4; z <= 4; z += 0.25) {
      const count = Math.round(mean + z * Math.sqrt(variance));
      if (count < 0 || count > chance.length) continue;
      const { atMost, atLeast } = countTails(mass, count);
      assert.ok(Math.abs(many.atMost(count) - atMost) < 1e-6, `at most ${count}`);
      assert.ok(Math.abs(many.atLeast(count) - atLeast) < 1e-6, `at least ${count}`);
      const between = count + 0.3;
      const exact = midLowerTail(mass, between);
      assert.ok(Math.abs(many.midBelow(between) - exact) < 1e-6, `below ${between}`);
    }
  });
}

Deno.test("trialCounts() of few trials is the exact distribution", () => {
  const few = trialCounts(Float64Array.of(0.5, 0.25));
  assert.deepEqual([few.atMost(0), few.atLeast(2), few.midBelow(1)], [3 / 8, 1 / 8, 5 / 8]);
});

Deno.test("rows taken together predict what they predict one by one", () => {
  const random = new SeededRandom(9);
  const n = 20_001;
  const x = Float64Array.from({ length: n }, () => random.normal());
  const terms = [
    { name: "(constant)", coefficient: -1 },
    { name: "x", coefficient: 0.7 },
    { name: "year", coefficient: 0.1 },
  ];
  const covariance = Float64Array.of(2e-4, 1e-5, 3e-5, 1e-5, 3e-4, 0, 3e-5, 0, 4e-4);
  const model = { terms, covariance, converged: true };
  const predict = (rows: Float64Array, kind: "event" | "amount") =>
    standardizedPredictions(model, { x: rows }, { year: [0, 5] }, { kind, z: 1.96 });
  for (const kind of ["event", "amount"] as const) {
    const many = predict(x, kind);
    // in parts that are worked out row by row
    const [one, other] = [predict(x.subarray(0, 20_000), kind), predict(x.subarray(20_000), kind)];
    [0, 1].forEach((point) => {
      const mean = (20_000 * one.estimate[point]! + other.estimate[point]!) / n;
      assert.ok(Math.abs(many.estimate[point]! - mean) < 1e-6);
      const width = many.upper[point]! - many.lower[point]!;
      const near = one.upper[point]! - one.lower[point]!;
      assert.ok(Math.abs(width / near - 1) < 1e-3, `${width} ${near}`);
    });
  }
});

Deno.test("nearAlike() keeps every row and the sum", () => {
  const values = Float64Array.of(0.001, 0.009, -0.001, 2, 2.001);
  const { code, count, value } = nearAlike(values);
  assert.deepEqual([...count], [2, 1, 2]);
  assert.deepEqual([...code], [0, 0, 1, 2, 2]);
  assert.ok(Math.abs(value.reduce((sum, v, k) => sum + v * count[k]!, 0) - 4.01) < 1e-12);
});
