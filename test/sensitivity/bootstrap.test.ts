import assert from "node:assert/strict";
import { bootstrap, DataError, resampler, SeededRandom } from "mitral";
import { assertClose } from "../close.ts";

const random = new SeededRandom(4);
const x = Float64Array.from({ length: 60 }, () => random.normal());
const mean = (rows: Int32Array) => rows.reduce((sum, row) => sum + x[row]!, 0) / rows.length;

// By hand: the ideal bootstrap's standard error of a mean is sqrt(sum (x - mean)^2) / n.
Deno.test("bootstrap() finds the standard error of a mean", () => {
  const result = bootstrap(60, mean, { seed: 1, replicates: 4000 });
  const centre = x.reduce((sum, v) => sum + v, 0) / 60;
  const ideal = Math.sqrt(x.reduce((sum, v) => sum + (v - centre) ** 2, 0)) / 60;
  assertClose(result.estimate, centre);
  // Monte-Carlo error of a standard deviation from 4000 draws: 1.1%; four of them
  assertClose(result.standardError, ideal, { relative: 0.045, absolute: 0 });
  assert.ok(Math.abs(result.bias) < 4 * ideal / Math.sqrt(4000));
  assert.ok(result.lower < centre && centre < result.upper);
  assertClose(result.basic.lower, 2 * centre - result.upper);
  assert.equal(result.failed, 0);
});

Deno.test("bootstrap() repeats itself for a seed and differs for another", () => {
  const run = (seed: number) => bootstrap(60, mean, { seed, replicates: 50 }).replicates;
  assert.deepEqual(run(7), run(7));
  assert.notDeepEqual(run(7), run(8));
});

Deno.test("resampler() makes any replicate on its own", () => {
  const forwards = resampler(20, 3);
  const first = [0, 1, 2].map((r) => [...forwards(r).rows]);
  const backwards = resampler(20, 3);
  const second = [2, 1, 0].map((r) => [...backwards(r).rows]).reverse();
  assert.deepEqual(first, second);
  assert.notDeepEqual(first[0], first[1]);
});

Deno.test("resampler() keeps clusters whole and tells those drawn twice apart", () => {
  const clusters = ["a", "a", "b", "b", "b", "c"];
  for (let r = 0; r < 20; r++) {
    const { rows, unit } = resampler({ clusters }, 5)(r);
    const drawn = new Map<number, number[]>();
    rows.forEach((row, k) => drawn.set(unit[k]!, [...drawn.get(unit[k]!) ?? [], row]));
    assert.equal(drawn.size, 3);
    for (const members of drawn.values()) {
      assert.ok(["0,1", "2,3,4", "5"].includes(members.join(",")));
    }
  }
});

// By hand: pairs that always agree carry half the information that their rows seem to.
Deno.test("bootstrap() over clusters is wider than over rows where clusters agree", () => {
  const clusters = Array.from({ length: 60 }, (_, i) => i >> 1);
  const twice = (rows: Int32Array) =>
    rows.reduce((sum, row) => sum + x[row >> 1]!, 0) / rows.length;
  const rows = bootstrap(60, twice, { seed: 2 }).standardError;
  const pairs = bootstrap({ clusters }, twice, { seed: 2 }).standardError;
  assertClose(pairs / rows, Math.SQRT2, { relative: 0.12, absolute: 0 });
});

Deno.test("bootstrap() counts replicates that fail, and stops if most do", () => {
  const some = (rows: Int32Array) => rows[0]! < 5 && rows[1] !== 1 ? NaN : mean(rows);
  const result = bootstrap(60, some, { seed: 1, replicates: 200 });
  assert.ok(result.failed > 0);
  assert.equal(result.replicates.length, 200 - result.failed);
  assert.throws(() => bootstrap(60, () => NaN, { seed: 1 }), DataError);
  assert.throws(() => bootstrap(0, mean, { seed: 1 }), /units/);
});
