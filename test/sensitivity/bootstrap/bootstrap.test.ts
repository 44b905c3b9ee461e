import assert from "node:assert/strict";
import { bootstrap, bootstrapLimits, DataError, resampler, SeededRandom } from "mitral";
import { assertClose } from "../../close.ts";

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
  const { percentile, basic, normal, accelerated } = result.limits;
  assertClose(basic.lower, 2 * centre - percentile.upper);
  assertClose(normal.upper - centre, 1.959963984540054 * result.standardError);
  assert.equal(result.used.method, "accelerated");
  assert.deepEqual({ lower: result.lower, upper: result.upper }, accelerated);
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

// Identity: with parts of one unit each the acceleration is the ordinary jackknife's.
Deno.test("bootstrap() accelerates its limits by a jackknife of all units where they are few", () => {
  const result = bootstrap(60, mean, { seed: 1, replicates: 500, parts: 60 });
  const total = x.reduce((sum, value) => sum + value, 0);
  const jackknife = x.map((value) => (total - value) / 59);
  const { estimate, replicates } = result;
  const wanted = bootstrapLimits({ estimate, replicates, jackknife }, { method: "accelerated" });
  assertClose(result.limits.accelerated!.lower, wanted.lower);
  assertClose(result.limits.accelerated!.upper, wanted.upper);
});

Deno.test("bootstrap() jackknifes whole clusters", () => {
  const clusters = Array.from({ length: 60 }, (_, i) => `c${i % 12}`);
  const seen: number[] = [];
  bootstrap({ clusters }, (rows) => {
    seen.push(new Set(Array.from(rows, (row) => clusters[row])).size);
    return rows.length;
  }, { seed: 1, replicates: 20, parts: 10 });
  // 12 clusters in 10 parts: two parts have two
  assert.deepEqual(seen.slice(-10).sort((a, b) => a - b), [10, 10, ...Array(8).fill(11)]);
});

// By hand: the largest of a sample can only fall in a resample, so the bias is as large
// as the error.
Deno.test("bootstrap() says that it does not read limits off replicates with a large bias", () => {
  const largest = (rows: Int32Array) => rows.reduce((most, row) => Math.max(most, x[row]!), -9);
  const result = bootstrap(60, largest, { seed: 3, replicates: 200 });
  assert.ok(result.bias < -0.25 * result.standardError);
  assert.equal(result.used.method, "normal");
  assert.match(result.used.why, /^The bias is \d\.\d standard errors/);
  assertClose(result.upper - result.estimate, result.estimate - result.lower);
});
