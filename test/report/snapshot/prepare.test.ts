import assert from "node:assert/strict";
import { join } from "node:path";
import { cohortFrom } from "../../../lib/cohort/kept/mod.ts";
import { readCohort } from "../../../lib/cohort/mod.ts";
import { packedBytes } from "../../../lib/numerics/mod.ts";
import { projectFolder, readableOfProject } from "../../../lib/report/sandbox/mod.ts";
import { prepare } from "../../../lib/report/snapshot/mod.ts";
import { openStudy } from "../../../lib/study/mod.ts";

const demo = join(projectFolder, "data-demo");

Deno.test("prepare() writes columns and completed sets for their owner alone; what cannot be made has no file", async () => {
  const folder = await Deno.makeTempDir();
  try {
    const sandbox = { read: [...readableOfProject, demo, folder], folder };
    const files = {
      study: join(demo, "study.json"),
      lifeTable: join(demo, "life-table.csv"),
      cohort: join(demo, "patients.csv"),
      visits: join(demo, "echo-visits.csv"),
      columns: join(folder, "columns"),
      completed: join(folder, "completed.json"),
    };
    await prepare(files, ["columns", "completed"], sandbox);
    const study = await openStudy();
    const own = await readCohort(study);
    const made = cohortFrom(packedBytes(await Deno.readFile(files.columns)), study);
    assert.equal(made?.n, own.n);
    assert.ok(own.columns.age instanceof Float64Array);
    assert.deepEqual(made?.columns.age, own.columns.age);
    assert.deepEqual(made?.visits.mr, own.visits.mr);
    assert.ok((await Deno.stat(files.completed)).size > 1000);
    for (const path of [files.columns, files.completed]) {
      assert.equal((await Deno.stat(path)).mode! & 0o777, 0o600);
      await Deno.remove(path);
    }
    await Deno.writeTextFile(join(folder, "none.csv"), "");
    const unreadable = { ...files, cohort: join(folder, "none.csv") };
    await prepare(unreadable, ["columns", "completed"], sandbox);
    assert.deepEqual([...Deno.readDirSync(folder)].map(({ name }) => name), ["none.csv"]);
  } finally {
    await Deno.remove(folder, { recursive: true });
  }
});
