import assert from "node:assert/strict";
import fc from "fast-check";
import { momentsOf } from "../../lib/numerics/algebra/moments.ts";
import { quantileOfSorted, weightedQuantiles } from "../../lib/numerics/algebra/quantile.ts";
import { assertClose } from "../close.ts";

// By hand: position (n - 1) p.
Deno.test("quantileOfSorted() uses the type 7 rule", () => {
  const sorted = [1, 2, 4, 8];
  assert.equal(quantileOfSorted(sorted, 0), 1);
  assert.equal(quantileOfSorted(sorted, 0.5), 3);
  assertClose(quantileOfSorted(sorted, 0.9), 6.8);
  assert.equal(quantileOfSorted(sorted, 1), 8);
  assert.equal(quantileOfSorted([5], 0.3), 5);
});

// Identity: equal weights, and weights of 0.
Deno.test("weightedQuantiles() with equal weights are the plain ones", () => {
  const values = fc.array(fc.integer({ min: -50, max: 50 }), { minLength: 1, maxLength: 30 });
  const p = fc.double({ min: 0, max: 1, noNaN: true });
  fc.assert(fc.property(values, p, (raw, at) => {
    const sorted = raw.sort((a, b) => a - b);
    const [value] = weightedQuantiles(sorted, sorted.map(() => 2.5), [at]);
    assertClose(value!, quantileOfSorted(sorted, at), { relative: 1e-9, absolute: 1e-9 });
    const padded = [-99, ...sorted, 99];
    const [same] = weightedQuantiles(padded, [0, ...sorted.map(() => 1), 0], [at]);
    assertClose(same!, value!, { relative: 1e-9, absolute: 1e-9 });
  }));
});

// By hand: 1, 2, 3 with weights 1, 2, 1 stand at 0, 1/2 and 1.
Deno.test("weightedQuantiles() by hand", () => {
  assert.deepEqual(weightedQuantiles([1, 2, 3], [1, 2, 1], [0, 0.25, 0.5, 0.75, 1]), [
    1,
    1.5,
    2,
    2.5,
    3,
  ]);
});

// By hand: 2, 4, 4, 6 have mean 4 and variance 8/3; equal weights change nothing.
Deno.test("momentsOf() gives the sample variance, whatever the common weight or offset", () => {
  const values = Float64Array.of(2, 4, 4, 6);
  assertClose(momentsOf(values).variance, 8 / 3);
  assertClose(momentsOf(values, { weight: new Float64Array(4).fill(0.3) }).variance, 8 / 3);
  assertClose(momentsOf(values.map((x) => x + 1e9)).variance, 8 / 3);
  const half = momentsOf(values, { group: [1, 1, 0, 0], code: 1 });
  assert.deepEqual([half.n, half.mean, half.variance], [2, 3, 2]);
  assert.ok(Number.isNaN(momentsOf(Float64Array.of(1)).variance));
});
