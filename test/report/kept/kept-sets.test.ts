import assert from "node:assert/strict";
import { join } from "node:path";
import { keptFiles, withKeptSets } from "../../../lib/report/kept/mod.ts";

Deno.test("completed sets are made again only where a file that is read has changed, or all is run anew", async () => {
  const parent = await Deno.makeTempDir();
  try {
    const path = join(parent, "completed.json");
    let made = 0;
    const run = async (sha256: string, { fresh = false, fails = false } = {}) => {
      await Deno.remove(path).catch(() => {});
      await withKeptSets(path, {
        kept: keptFiles(join(parent, "report"), { library: "l", lock: "p", fresh }),
        inputs: [{ role: "study", sha256: "s" }, { role: "cohort", sha256 }],
        prepare: async (withSets) => {
          if (withSets && !fails) await Deno.writeTextFile(path, `sets ${++made}`);
        },
      });
      return await Deno.readTextFile(path).catch(() => undefined);
    };
    assert.equal(await run("a", { fails: true }), undefined);
    assert.equal(await run("a"), "sets 1");
    assert.equal(await run("a"), "sets 1");
    assert.equal(await run("b"), "sets 2");
    assert.equal(await run("b", { fresh: true }), "sets 3");
    assert.equal(await run("b"), "sets 3");
    assert.equal((await Deno.stat(path)).mode! & 0o777, 0o600);
    for (const { name } of Deno.readDirSync(join(parent, ".report.kept"))) {
      assert.equal((await Deno.stat(join(parent, ".report.kept", name))).mode! & 0o77, 0);
    }
  } finally {
    await Deno.remove(parent, { recursive: true });
  }
});
