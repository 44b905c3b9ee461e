import assert from "node:assert/strict";
import { extentOf } from "../../../lib/numerics/mod.ts";
import { fewerOfMany } from "mitral";

// by hand: 20,000 rows' worth of repetitions, rounded up, between the least and what was asked for
Deno.test("fewerOfMany() repeats as asked up to 20,000 rows, then in inverse proportion", () => {
  assert.deepEqual(
    [2, 20_000, 20_001, 50_000, 1e6].map((rows) => fewerOfMany(100, rows)),
    [100, 100, 100, 40, 20],
  );
  assert.deepEqual([fewerOfMany(50, 1e6, 10), fewerOfMany(5, 1e6, 10)], [10, 5]);
});

Deno.test("extentOf() takes columns that are too long to be spread into arguments", () => {
  const long = Float64Array.from({ length: 400_000 }, (_, i) => (i * 7919) % 400_000);
  assert.throws(() => Math.min(...long), RangeError);
  assert.deepEqual(extentOf(long), [0, 399_999]);
  assert.deepEqual(extentOf([]), [Infinity, -Infinity]);
});
