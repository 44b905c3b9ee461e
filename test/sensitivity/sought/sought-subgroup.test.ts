import assert from "node:assert/strict";
import { subgroupDifference } from "../../../lib/competing/mod.ts";
import { DataError } from "../../../lib/numerics/columns/errors.ts";
import { SeededRandom } from "../../../lib/numerics/replicates/random.ts";
import { soughtSubgroup } from "../../../lib/sensitivity/sought/sought-subgroup.ts";
import { assertClose } from "../../close.ts";

/** Invented: from x = 1 on, group 1 has the event much more often. */
function sample(n: number, seed: number) {
  const random = new SeededRandom(seed);
  const x = Float64Array.from({ length: n }, () => 2 * random.uniform());
  const group = Uint8Array.from({ length: n }, () => random.bernoulli(0.5));
  const rows = Array.from(x, (value, i) => {
    const first = random.exponential(group[i] === 1 && value >= 1 ? 0.5 : 0.05);
    const second = random.exponential(0.05);
    return {
      time: Math.min(first, second, 6),
      event: first < Math.min(second, 6) ? 1 : second < 6 ? 2 : 0,
    };
  });
  return { x, group, time: rows.map((r) => r.time), event: rows.map((r) => r.event) };
}

Deno.test("soughtSubgroup() finds the line and claims what subgroupDifference() says there", () => {
  const { x, ...data } = sample(500, 4);
  const measurement = x.map((value, i) => i < 30 ? NaN : value);
  const options = { cause: 1, time: 4, seed: 2, replicates: 15 };
  const found = soughtSubgroup(data, measurement, options);
  assert.deepEqual([found.n, found.unknown], [470, 30]);
  assert.ok(Math.abs(found.threshold - 1) < 0.25, `${found.threshold}`);
  const holds = measurement.map((value) =>
    Number.isNaN(value) ? NaN : value >= found.threshold ? 1 : 0
  );
  const { interaction } = subgroupDifference(data, holds, { cause: 1, time: 4 });
  assertClose(found.apparent.estimate, interaction.estimate);
  assertClose(found.apparent.standardError, interaction.standardError);
  assert.ok(found.corrected > 0.4);
});

Deno.test("soughtSubgroup() does not try lines that leave hardly anybody on a side", () => {
  const { x, ...data } = sample(120, 6);
  const options = { cause: 1, time: 4, seed: 2, replicates: 10 };
  assert.throws(() => soughtSubgroup(data, x, { ...options, smallest: 60 }), DataError);
  assert.throws(() => soughtSubgroup(data, [1], options), DataError);
});
