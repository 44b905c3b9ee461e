import assert from "node:assert/strict";
import { join } from "node:path";
import { bootstrapInWorkers } from "mitral";
import {
  jobKey,
  rangeOfPart,
  type ReplicateJob,
  replicatesFrom,
  replicatesOfPart,
  replicatesText,
} from "../../../lib/sensitivity/bootstrap/mod.ts";

const x = Float64Array.from({ length: 40 }, (_, i) => (i * 7) % 11);
const statistic = { module: new URL("./means.ts", import.meta.url).href, name: "means", input: x };
const clusters = Array.from({ length: 40 }, (_, i) => `surgeon ${i % 9}`);
const job: ReplicateJob = { units: 40, statistic, seed: 5, wanted: 60, parts: 10 };
const jobs: ReplicateJob[] = [job, { ...job, units: { clusters } }];
const bits = (values: Float64Array) => new BigUint64Array(values.buffer.slice(0));

Deno.test("every part of a job together is the job, to the last bit", async () => {
  for (const one of jobs) {
    const whole = await replicatesOfPart(one, { part: 1, of: 1 }, { workers: 0 });
    // some draws are refused, and must stay so
    assert.ok(whole.some(Number.isNaN));
    for (const  of of[2, 7, 90]) {
      const parts: number[] = [];
      for (let part = 1; part <= of; part++) {
        const workers = of === 2 ? 2 : 0;
        parts.push(...await replicatesOfPart(one, { part, of }, { workers }));
      }
      assert.deepEqual(bits(Float64Array.from(parts)), bits(whole));
    }
  }
});

Deno.test("parts are of like size and leave nothing out", () => {
  for (const count of [0, 1, 39, 40, 41, 1050]) {
    for (const  of of[1, 2, 7, 40]) {
      let at = 0;
      for (let part = 1; part <= of; part++) {
        const { from, to } = rangeOfPart(count, { part, of });
        assert.equal(from, at);
        assert.ok(Math.abs(to - from - count / of) < 1);
        at = to;
      }
      assert.equal(at, count);
    }
  }
});

Deno.test("a job's key changes with all that its replicates follow from, but for where the code is", () => {
  const key = jobKey(job);
  const changed: ReplicateJob[] = [
    { ...job, seed: 6 },
    { ...job, wanted: 61 },
    { ...job, parts: 11 },
    { ...job, units: 39 },
    { ...job, units: { clusters } },
    { ...job, statistic: { ...statistic, name: "other" } },
    { ...job, statistic: { ...statistic, input: x.with(3, 1e-9) } },
    { ...job, statistic: { ...statistic, input: x.with(0, -0) } },
    { ...job, statistic: { ...statistic, input: Array.from(x) } },
    { ...job, statistic: { ...statistic, input: { x, horizons: [5] } } },
    { ...job, statistic: { ...statistic, input: { x, horizons: [5, 10] } } },
  ];
  const keys = changed.map(jobKey);
  assert.equal(new Set([key, ...keys]).size, 1 + changed.length);
  assert.equal(jobKey({ ...job, statistic: { ...statistic, module: "file:///b.ts" } }), key);
  assert.throws(() => jobKey({ ...job, statistic: { ...statistic, input: () => 1 } }), TypeError);
});

Deno.test("every bit of a replicate comes back from text", () => {
  const values = Float64Array.of(0, -0, NaN, Infinity, 1 / 3, 5e-324, -1.7976931348623157e308);
  const [back] = replicatesFrom(replicatesText([{ key: "a", values }]));
  assert.equal(back!.key, "a");
  assert.deepEqual(bits(back!.values), bits(values));
});

Deno.test("bootstrapInWorkers() uses replicates at hand of just its job, and no others", async () => {
  const options = { seed: 5, replicates: 60, parts: 10, workers: 0 };
  const plain = await bootstrapInWorkers(40, statistic, options);
  const other = await bootstrapInWorkers(40, statistic, { ...options, seed: 6 });
  const folder = await Deno.makeTempDir({ prefix: "mitral-test-" });
  const run = Symbol.for("mitral.run");
  const before: unknown = Reflect.get(globalThis, run);
  const withFile = async (values: Float64Array, seed: number) => {
    const replicates = join(folder, "replicates");
    await Deno.writeTextFile(replicates, replicatesText([{ key: jobKey(job), values }]));
    Reflect.set(globalThis, run, { replicates });
    return bootstrapInWorkers(40, statistic, { ...options, seed });
  };
  try {
    const whole = await replicatesOfPart(job, { part: 1, of: 1 }, { workers: 0 });
    assert.deepEqual(await withFile(whole, 5), plain);
    // other numbers than would be worked out: they are what is used
    const moved = await withFile(whole.map((value) => value + 1), 5);
    assert.deepEqual(moved[0]!.replicates, plain[0]!.replicates.map((value) => value + 1));
    assert.deepEqual(await withFile(whole.map((value) => value + 1), 6), other);
    // cut short
    assert.deepEqual(await withFile(whole.slice(2), 5), plain);
  } finally {
    Reflect.set(globalThis, run, before);
    await Deno.remove(folder, { recursive: true });
  }
});
