import assert from "node:assert/strict";
import {
  bootstrapInWorkers,
  DataError,
  matchedSample,
  procedureBootstrap,
  procedureStatistic,
  resampler,
  survivalDifference,
  underMatching,
} from "mitral";
import { projectFolder, sandboxCommand } from "../../../lib/report/sandbox/mod.ts";
import { assertClose } from "../../close.ts";
import { analysis, followUp, study } from "./bootstrap-parts.ts";

const x = Float64Array.from({ length: 40 }, (_, i) => (i * 7) % 11);
const module = new URL("./means.ts", import.meta.url).href;
const statistic = { module, name: "means", input: x };
const run = (workers: number) =>
  bootstrapInWorkers(40, statistic, { seed: 5, replicates: 60, workers });

Deno.test("bootstrapInWorkers() gives the same to the last bit whatever the number of workers", async () => {
  const [here, one, three] = await Promise.all([run(0), run(1), run(3)]);
  assert.equal(here.length, 2);
  assert.deepEqual(one, here);
  assert.deepEqual(three, here);
  // one draw in forty begins with 3 and is refused: counted as failed, not lost
  assert.ok(here[0]!.failed > 0 && here[0]!.failed + here[0]!.replicates.length === 60);
});

Deno.test("bootstrapInWorkers() draws what resampler() draws, and says how far it is", async () => {
  const told: number[] = [];
  const [mean] = await bootstrapInWorkers(40, statistic, {
    seed: 5,
    replicates: 60,
    workers: 2,
    onProgress: (done, of) => told.push(done / of),
  });
  const draw = resampler(40, 5);
  const first = [0, 1, 2, 3].map((r) => draw(r).rows).filter((rows) => rows[0] !== 3)
    .map((rows) => rows.reduce((sum, row) => sum + x[row]!, 0) / 40);
  first.forEach((value, r) => assertClose(mean!.replicates[r]!, value));
  assert.deepEqual(told, told.toSorted((a, b) => a - b));
  assert.equal(told.at(-1), 1);
});

Deno.test("bootstrapInWorkers() stops where more replicates would move no limit", async () => {
  const limits = { method: "normal", why: "For the test." } as const;
  const many = { seed: 5, replicates: 400, limits };
  const [all] = await bootstrapInWorkers(40, statistic, { ...many, workers: 0 });
  const spread = Math.max(
    ...(await bootstrapInWorkers(40, statistic, { ...many, replicates: 50, workers: 0 }))
      .map(({ standardError }) => standardError),
  );
  // z s / sqrt(2 R) at R = 100, by hand
  const within = 1.959964 * spread / Math.sqrt(200);
  const [here, shared] = await Promise.all(
    [0, 2].map((workers) => bootstrapInWorkers(40, statistic, { ...many, within, workers })),
  );
  assert.deepEqual(shared, here);
  const { replicates, failed } = here![0]!;
  assert.equal(replicates.length + failed, 100);
  assert.deepEqual(replicates, all!.replicates.slice(0, replicates.length));
  // where chance moves limits by more than that, all there may be; where by less, the first fifty
  const count = async (error: number) => {
    const [mean] = await bootstrapInWorkers(40, statistic, { ...many, within: error, workers: 0 });
    return mean!.replicates.length + mean!.failed;
  };
  assert.equal(await count(within / 100), 400);
  assert.equal(await count(100 * within), 50);
});

Deno.test("bootstrapInWorkers() passes on a fault of the statistic, from here or from a worker", async () => {
  const broken = { module, name: "faulty", input: 3 };
  for (const workers of [0, 2]) {
    await assert.rejects(
      bootstrapInWorkers(5, broken, { seed: 1, replicates: 40, workers }),
      /a fault in the statistic/,
    );
  }
  const gone = { module, name: "missing", input: x };
  await assert.rejects(bootstrapInWorkers(5, gone, { seed: 1 }), /statistic\.name/);
  await assert.rejects(bootstrapInWorkers(40, statistic, { seed: 1, workers: -1 }), DataError);
});

Deno.test("bootstrapInWorkers() works inside the sandbox of notebooks, as it stands", async () => {
  const script = new URL("./in-sandbox.ts", import.meta.url);
  const command = sandboxCommand(script, [], { read: [projectFolder], write: [] });
  const { code, stdout, stderr } = await command.output();
  const text = new TextDecoder();
  assert.equal(code, 0, text.decode(stderr));
  const [mean] = await run(0);
  assert.deepEqual(JSON.parse(text.decode(stdout)), [...mean!.replicates]);
});

// By hand: in a set of one repair and two replacements each replacement counts half.
Deno.test("underMatching() and procedureStatistic() share out several replacements of one repair", () => {
  const several = { ...study, matching: { ...study.matching, partners: 2 } };
  const sample = matchedSample(analysis, several);
  const paired = underMatching(followUp, sample);
  const weight = paired.weight!;
  const total = (group: 0 | 1) =>
    weight.reduce((sum, w, i) => sum + (paired.group[i] === group ? w : 0), 0);
  assertClose(total(1), sample.sets);
  assertClose(total(0), sample.sets);
  assert.ok(weight.some((w) => w === 0.5));
  return procedureBootstrap(
    { analysis, study: several, followUp, design: "matched" },
    { replicates: 20, workers: 0, horizons: [5], restrictedMeanHorizon: null },
  ).then(({ survival }) => {
    const [there] = survivalDifference(paired, { times: [5] });
    assertClose(survival[0]!.estimate, there!.difference.estimate);
  });
});

Deno.test("procedureBootstrap() refuses matching with replacement and endpoints of some only", async () => {
  const again = { ...study, matching: { ...study.matching, reuse: true } };
  const data = { analysis, study: again, followUp, design: "matched" } as const;
  await assert.rejects(procedureBootstrap(data, { workers: 0 }), /reuse must be false/);
  const some = { ...followUp, rows: followUp.rows.slice(1) };
  assert.throws(
    () => procedureBootstrap({ ...data, study, followUp: some }),
    (error) => error instanceof DataError && error.argument === "followUp",
  );
  const treated = Uint8Array.of(1, 1, 1);
  const procedure = procedureStatistic({
    design: { kind: "as-given" },
    time: [1, 2, 3],
    event: [1, 0, 1],
    treated,
    horizons: [1],
  });
  assert.throws(() => procedure(Int32Array.of(0, 1, 2), Int32Array.of(0, 1, 2)), DataError);
});
