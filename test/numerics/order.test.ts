import assert from "node:assert/strict";
import fc from "fast-check";
import { orderOf } from "../../lib/numerics/columns/order.ts";
import { SeededRandom } from "../../lib/numerics/replicates/random.ts";

function stableOrder(values: Float64Array): Uint32Array {
  return Uint32Array.from(values.keys()).sort((a, b) => values[a]! - values[b]! || a - b);
}

Deno.test("orderOf() equals a stable comparison sort (identity)", () => {
  fc.assert(fc.property(
    fc.float64Array({ noNaN: true, maxLength: 200 }),
    (values) => assert.deepEqual(orderOf(values), stableOrder(values)),
  ));
});

Deno.test("orderOf() sorts long columns by radix: signs, zeros, infinities and ties", () => {
  const random = new SeededRandom(1);
  for (const draw of [() => random.normal(), () => random.integer(50), () => random.uniform()]) {
    const values = Float64Array.from({ length: 5000 }, draw);
    values.set([-0, 0, Infinity, -Infinity, -1e300, 5e-324, -5e-324], 100);
    assert.deepEqual(orderOf(values), stableOrder(values));
  }
});
