import assert from "node:assert/strict";
import { join } from "node:path";
import { keptFiles, withKeptInputs } from "../../../lib/report/kept/mod.ts";

Deno.test("columns and completed sets are made again only where a file that is read has changed, or all is run anew", async () => {
  const parent = await Deno.makeTempDir();
  try {
    const paths = new Map(["columns", "completed"].map((name) => [name, join(parent, name)]));
    let made = 0;
    /** What is there after a run; "-" for what is not. */
    const run = async (sha256: string, { fresh = false, fails = "" } = {}) => {
      for (const path of paths.values()) await Deno.remove(path).catch(() => {});
      await withKeptInputs(paths, {
        kept: keptFiles(join(parent, "report"), { library: "l", lock: "p", fresh }),
        inputs: [{ role: "study", sha256: "s" }, { role: "cohort", sha256 }],
        prepare: async (names) => {
          made++;
          for (const name of names) {
            if (name !== fails) await Deno.writeTextFile(paths.get(name)!, `${name} ${made}`);
          }
        },
      });
      const texts = [...paths.values()].map((path) => Deno.readTextFile(path).catch(() => "-"));
      return (await Promise.all(texts)).join(", ");
    };
    assert.equal(await run("a", { fails: "completed" }), "columns 1, -");
    assert.equal(await run("a"), "columns 1, completed 2");
    assert.equal(await run("a"), "columns 1, completed 2");
    assert.equal(await run("b"), "columns 3, completed 3");
    assert.equal(await run("b", { fresh: true }), "columns 4, completed 4");
    assert.equal(await run("b"), "columns 4, completed 4");
    for (const path of paths.values()) assert.equal((await Deno.stat(path)).mode! & 0o777, 0o600);
    for (const { name } of Deno.readDirSync(join(parent, ".report.kept"))) {
      assert.equal((await Deno.stat(join(parent, ".report.kept", name))).mode! & 0o77, 0);
    }
  } finally {
    await Deno.remove(parent, { recursive: true });
  }
});
