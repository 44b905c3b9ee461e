import assert from "node:assert/strict";
import { sortedColumn } from "../../lib/numerics/columns/order.ts";
import { SeededRandom } from "../../lib/numerics/replicates/random.ts";
import { snapTiedTimes } from "../../lib/numerics/columns/ties.ts";

// Identity: against a stable comparison sort, for columns that take each of the ways to sort.
Deno.test("sortedColumn() equals a stable comparison sort on columns of every shape", () => {
  const random = new SeededRandom(3);
  const shapes: Record<string, () => number> = {
    "spread evenly": () => random.uniform(),
    "skewed": () => random.exponential() ** 3,
    "signed": () => random.normal(),
    "whole days": () => Math.ceil(random.exponential(0.001)),
    "one far outlier": () => random.bernoulli(0.001) ? 1e300 : random.uniform(),
    "tiny": () => random.uniform() * 1e-310,
    "widest range": () => (random.uniform() - 0.5) * Number.MAX_VALUE * 1.9,
    "two heaps": () => random.integer(2) + random.uniform() * 1e-12,
    "infinite": () => random.bernoulli(0.1) ? Infinity : random.normal(),
    "all equal": () => 7,
    "zeros of both signs": () => random.bernoulli(0.5) ? -0 : random.bernoulli(0.5) ? 0 : -1,
  };
  const cases = Object.entries(shapes).flatMap(([name, draw]) =>
    [6000, 2047, 300, 40, 2, 1].map((length) => [`${length} ${name}`, length, draw] as const)
  );
  for (const [name, length, draw] of cases) {
    const values = Float64Array.from({ length }, draw);
    const before = values.slice();
    const { order, sorted } = sortedColumn(values);
    const expected = Uint32Array.from(values.keys()).sort((a, b) =>
      (values[a]! < values[b]! ? -1 : values[a]! > values[b]! ? 1 : 0) || a - b
    );
    assert.deepEqual(order, expected, name);
    assert.ok(sorted.every((x, i) => Object.is(x, values[order[i]!]!)), name);
    assert.deepEqual(values, before, "the column is left alone");
  }
});

Deno.test("snapTiedTimes() merges near-ties in both the column and its sorted copy", () => {
  const time = Float64Array.of(3, 0.1 + 0.2, 0.3, 1);
  const ordered = sortedColumn(time);
  const snapped = snapTiedTimes(time, ordered);
  assert.deepEqual([...snapped.time], [3, 0.3, 0.3, 1]);
  assert.deepEqual([...ordered.sorted], [0.3, 0.3, 1, 3]);
  assert.equal(time[1], 0.1 + 0.2, "the caller's column is left alone");
});
