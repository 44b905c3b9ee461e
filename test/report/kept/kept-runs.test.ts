import assert from "node:assert/strict";
import { join } from "node:path";
import { type Ingredients, keptFiles, keptRuns } from "../../../lib/report/kept/mod.ts";
import { type NotebookRun, parseNotebook, timingLines } from "../../../lib/report/notebooks/mod.ts";
import { partsOf } from "../../../lib/report/run-parts/mod.ts";
import { makeNotebook } from "../notebooks/make-notebook.ts";

Deno.test("the seconds of a run are told by notebook, slowest first, each with its slowest cells", () => {
  const run = (id: string, total: number, cells: number[]) => ({
    notebook: { id, folder: "", title: id, metadata: {}, minor: 5, cells: [] },
    seconds: { start: 1, total, cells },
  });
  const runs = [
    { ...run("part", 1.5, [0.5]), again: { cells: 3, seconds: 0.7 } },
    run("a", 2, [0.5, 0.01]),
    { ...run("long", 9, [1, 4, 2, 1]), kept: true },
  ];
  assert.deepEqual(timingLines(runs), [
    "long     9.0 s  start: 1.0, cell 2: 4.0, cell 3: 2.0, cell 1: 1.0 (unchanged: of an earlier run)",
    "a        2.0 s  start: 1.0, cell 1: 0.5",
    "part     1.5 s  start: 1.0, cell 1: 0.5 (3 cells run again, in 0.7 s)",
  ]);
});

Deno.test("answers are kept of code that writes into nothing, and hold as long as nothing but the notebook changes", async () => {
  const folder = await Deno.makeTempDir();
  try {
    const ingredients = (library: string): Ingredients => ({
      files: [{ role: "study", name: "study.json", bytes: 1, sha256: "a" }],
      hashes: new Map([["plain", "1"], ["writes", "2"]]),
      beside: new Map(),
      library,
      lock: "lock",
    });
    const kept = (library: string, fresh = false) =>
      keptRuns(join(folder, "out"), {
        ingredients: ingredients(library),
        partsOf: (run) => Promise.resolve(partsOf(run)),
        kept: keptFiles(join(folder, "out"), { library, lock: "lock", fresh }),
        fresh,
      });
    const runOf = (id: string, code: string): NotebookRun => ({
      notebook: parseNotebook(makeNotebook([code]), { id, folder }),
      outputs: [[]],
      failure: undefined,
      seconds: { start: 1, total: 2, cells: [1] },
      answers: Uint8Array.of(1, 2, 3),
    });
    const plain = runOf("plain", "const one = 1;");
    const writes = runOf("writes", "for (const one of [1]) one;");
    const first = kept("a");
    assert.equal(await first.answers(plain.notebook), undefined);
    await first.keep(plain);
    await first.keep(writes);
    assert.deepEqual(await kept("a").answers(plain.notebook), plain.answers);
    assert.equal(await kept("a").answers(writes.notebook), undefined);
    assert.equal(await kept("b").answers(plain.notebook), undefined, "another library");
    assert.equal(await kept("a", true).answers(plain.notebook), undefined, "asked to be fresh");
    // a run that has nothing new leaves them
    const { answers: _, ...again } = plain;
    await kept("a").keep(again);
    assert.deepEqual(await kept("a").answers(plain.notebook), plain.answers);
    const [file] = [...Deno.readDirSync(join(folder, ".out.kept"))]
      .filter(({ name }) => name.endsWith(".file"));
    const path = join(folder, ".out.kept", file?.name ?? "");
    const bytes = await Deno.readFile(path);
    bytes[bytes.length - 1]! ^= 1;
    await Deno.writeFile(path, bytes);
    assert.equal(await kept("a").answers(plain.notebook), undefined, "damaged");
  } finally {
    await Deno.remove(folder, { recursive: true });
  }
});
