import assert from "node:assert/strict";
import { DataError, ratioOverTime, SeededRandom } from "mitral";
import { assertAllClose, assertClose } from "../../close.ts";

/** Two groups whose hazard ratio is exp(start + slope t), in years; seen for ten. */
function drawn(seed: number, { n, start, slope }: { n: number; start: number; slope: number }) {
  const random = new SeededRandom(seed);
  const group = Array.from({ length: n }, (_, i) => i % 2);
  const own = group.map((code) => {
    const waited = -Math.log(1 - random.uniform()) / 0.1;
    if (code === 0) return waited;
    // the time at which the cumulative hazard reaches it
    const scaled = waited / Math.exp(start);
    return slope === 0 ? scaled : Math.log1p(slope * scaled) / slope;
  });
  return {
    time: own.map((t) => Math.min(t, 10)),
    event: own.map((t) => t < 10 ? 1 : 0),
    group,
  };
}

Deno.test("ratioOverTime() finds a ratio that grows, where and as fast as it does", () => {
  const [start, slope] = [-1.2, 0.3];
  const off: number[] = [];
  for (const seed of [1, 2, 3]) {
    const data = drawn(seed, { n: 3000, start, slope });
    const { curve, constant, events } = ratioOverTime(data)!;
    assert.equal(events, data.event.filter((code) => code === 1).length);
    assert.ok(constant.pValue < 1e-6 && constant.degreesOfFreedom === 2);
    assert.equal(curve.x.length, 50);
    const held = curve.x.map((t, k) => {
      const truth = Math.exp(start + slope * t);
      return curve.lower[k]! <= truth && truth <= curve.upper[k]! ? 1 : 0;
    });
    assert.ok(held.filter((one) => one === 1).length > 40, `seed ${seed}`);
    off.push(...curve.x.map((t, k) => Math.log(curve.estimate[k]!) - start - slope * t));
  }
  // moved by a third of the time since a cut, it would be off by 0.3 on average
  const mean = off.reduce((sum, value) => sum + value, 0) / off.length;
  assert.ok(Math.abs(mean) < 0.08, `${mean}`);
});

Deno.test("ratioOverTime() takes a constant ratio for one, whatever the unit of time and the weights", () => {
  const data = drawn(5, { n: 1000, start: Math.log(2), slope: 0 });
  const { curve, constant } = ratioOverTime(data)!;
  assert.ok(constant.pValue > 0.05, `${constant.pValue}`);
  const sorted = data.time.filter((_, i) => data.event[i] === 1).sort((a, b) => a - b);
  assert.ok(curve.x[0]! > sorted[0]! && curve.x.at(-1)! < sorted.at(-1)!);
  const days = ratioOverTime({ ...data, time: data.time.map((t) => 365.25 * t) })!;
  assertAllClose(days.curve.estimate, curve.estimate, { relative: 1e-6, absolute: 1e-9 });
  const heavier = ratioOverTime({ ...data, weight: data.time.map(() => 7) })!;
  assertAllClose(heavier.curve.estimate, curve.estimate, { relative: 1e-6, absolute: 1e-9 });
  assertClose(heavier.constant.statistic, constant.statistic, { relative: 1e-5, absolute: 1e-8 });
  // each row a cluster of its own changes nothing; limits widen with the confidence
  const clustered = ratioOverTime({ ...data, cluster: data.time.map((_, i) => i) })!;
  assertAllClose(clustered.curve.upper, curve.upper, { relative: 1e-8, absolute: 1e-10 });
  const wide = ratioOverTime(data, { confidence: 0.99, points: 2 })!.curve;
  assert.deepEqual([wide.x[0], wide.x[1]], [curve.x[0], curve.x.at(-1)]);
  assertClose(wide.estimate[1]!, curve.estimate.at(-1)!);
  assertClose(
    Math.log(wide.upper[0]! / wide.lower[0]!) / Math.log(curve.upper[0]! / curve.lower[0]!),
    2.575829 / 1.959964,
    { relative: 1e-5, absolute: 0 },
  );
});

Deno.test("ratioOverTime() draws nothing with fewer than thirty events in a group", () => {
  const n = 80;
  const data = {
    time: Array.from({ length: n }, (_, i) => 1 + i / n),
    group: Array.from({ length: n }, (_, i) => i % 2),
  };
  const event = (inSecond: number) => {
    let left = inSecond;
    return data.group.map((code) => code === 0 ? 1 : left-- > 0 ? 1 : 0);
  };
  assert.equal(ratioOverTime({ ...data, event: event(29) }), null);
  assert.ok(ratioOverTime({ ...data, event: event(30) }));
  assert.equal(
    ratioOverTime({ ...data, group: data.group.map((g) => 1 - g), event: event(29) }),
    null,
  );
  assert.throws(() => ratioOverTime({ ...data, event: event(30) }, { points: 1 }), DataError);
});
