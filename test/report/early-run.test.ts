import assert from "node:assert/strict";
import { join } from "node:path";
import { startEarly } from "../../lib/report/early-run.ts";
import { demoStudy } from "../../lib/report/sandbox/mod.ts";

Deno.test("a run that begins early has its folder and a process; the same folder is not begun twice", async () => {
  await inFolder(async (folder) => {
    const out = join(folder, "report");
    const begun = await startEarly({ out });
    assert.ok(begun);
    assert.equal(begun.chosen, out);
    assert.equal(await startEarly({ out }), undefined, "another run has it");
    assert.ok(begun.processes.giveSpare("01-a"));
    await begun.processes.close();
    await begun.claimed.release();
    assert.deepEqual([...Deno.readDirSync(folder)], []);
  });
});

Deno.test("nothing begins early where a report's place or its notebooks' rights are not told at once", async () => {
  const plan = JSON.parse(await Deno.readTextFile(demoStudy));
  const studies = {
    "own-notebooks": JSON.stringify({ ...plan, notebooks: ["own/"] }),
    "no-json": "{",
    "no-name": JSON.stringify({ ...plan, name: "../elsewhere" }),
    "no-object": "null",
  };
  await inFolder(async (folder) => {
    const out = join(folder, "report");
    for (const [name, text] of Object.entries(studies)) {
      const study = join(folder, `${name}.json`);
      await Deno.writeTextFile(study, text);
      assert.equal(await startEarly({ study, out }), undefined, name);
    }
    assert.equal(await startEarly({ study: join(folder, "not-there.json"), out }), undefined);
    assert.equal(await startEarly({ study: folder, out }), undefined);
    assert.equal(await startEarly({ notebooks: folder, out }), undefined);
    await Deno.mkdir(out);
    await Deno.writeTextFile(join(out, "somebody's.txt"), "");
    assert.equal(await startEarly({ out }), undefined, "the folder holds other files");
  });
});

async function inFolder(test: (folder: string) => Promise<void>): Promise<void> {
  const folder = await Deno.makeTempDir({ prefix: "mitral-test-" });
  try {
    await test(folder);
  } finally {
    await Deno.remove(folder, { recursive: true });
  }
}
