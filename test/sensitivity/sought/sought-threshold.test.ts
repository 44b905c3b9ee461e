import assert from "node:assert/strict";
import { DataError } from "../../../lib/numerics/columns/errors.ts";
import { SeededRandom } from "../../../lib/numerics/replicates/random.ts";
import { soughtThreshold } from "../../../lib/sensitivity/sought/sought-threshold.ts";

/** Difference of means of y on the two sides, with its standard error. */
function meanDifference(y: Float64Array) {
  return (rows: Int32Array, holds: Uint8Array) => {
    const n = [0, 0];
    const sum = [0, 0];
    const squares = [0, 0];
    rows.forEach((row, k) => {
      const side = holds[k]!;
      n[side]!++;
      sum[side]! += y[row]!;
      squares[side]! += y[row]! ** 2;
    });
    if (n[0]! < 3 || n[1]! < 3) return null;
    const mean = sum.map((s, side) => s / n[side]!);
    const variance = squares.map((s, side) => (s / n[side]! - mean[side]! ** 2) / n[side]!);
    return { estimate: mean[1]! - mean[0]!, standardError: Math.sqrt(variance[0]! + variance[1]!) };
  };
}

function sample(seed: number, step: number) {
  const random = new SeededRandom(seed);
  const x = Float64Array.from({ length: 120 }, () => random.uniform());
  const y = x.map((value) => (value >= 0.6 ? step : 0) + random.normal());
  return { x, y };
}

Deno.test("soughtThreshold() leaves of no effect what a line fixed beforehand would show", () => {
  // Known truth: y does not depend on x. In 60 samples, the size of the effect by chance: of the
  // strongest of nine lines, of the same corrected, and of a line fixed beforehand at the middle.
  const every = Int32Array.from({ length: 120 }, (_, i) => i);
  let apparent = 0;
  let corrected = 0;
  let fixed = 0;
  for (let seed = 0; seed < 60; seed++) {
    const { x, y } = sample(seed, 0);
    const found = soughtThreshold(x, meanDifference(y), { seed: 1, replicates: 40 });
    const halves = Uint8Array.from(x, (value) => value >= 0.5 ? 1 : 0);
    apparent += Math.abs(found.apparent.estimate) / 60;
    corrected += Math.sign(found.apparent.estimate) * found.corrected / 60;
    fixed += Math.abs(meanDifference(y)(every, halves)!.estimate) / 60;
  }
  assert.ok(apparent > 2.2 * fixed, `${apparent} against ${fixed}`);
  assert.ok(Math.abs(corrected - fixed) < 0.06, `${corrected} against ${fixed}`);
});

Deno.test("soughtThreshold() leaves a strong effect standing and finds its place", () => {
  const { x, y } = sample(5, 3);
  const found = soughtThreshold(x, meanDifference(y), { seed: 1, replicates: 50 });
  assert.ok(Math.abs(found.threshold - 0.6) < 0.1);
  assert.ok(Math.abs(found.corrected - 3) < 0.6);
  assert.ok(found.found.lower <= found.found.median && found.found.median <= found.found.upper);
});

Deno.test("soughtThreshold() repeats with its seed, leaves input alone, and says what failed", () => {
  const { x, y } = sample(8, 0.5);
  const before = x.slice();
  const run = (seed: number) => soughtThreshold(x, meanDifference(y), { seed, replicates: 20 });
  assert.deepEqual(run(3), run(3));
  assert.deepEqual(x, before);
  assert.equal(run(3).replicates + run(3).failed, 20);
  assert.throws(() => soughtThreshold(x, () => null, { seed: 1, replicates: 20 }), DataError);
  assert.throws(() => soughtThreshold([], () => null, { seed: 1 }), DataError);
});
