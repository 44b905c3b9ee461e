import assert from "node:assert/strict";
import { join } from "node:path";
import { takeSnapshot } from "../../../lib/report/snapshot/mod.ts";
import { sha256 } from "../../../lib/numerics/memory/mod.ts";
import { withWorkspace } from "../workspace.ts";

Deno.test("takeSnapshot() copies from pipes and odd paths, for nobody else to read, and names what is not there", () =>
  withWorkspace({ "01-a": ["1"] }, async ({ folder, study, notebooks }) => {
    const pipe = join(folder, "a, pipe ünï.csv");
    const made = await new Deno.Command("mkfifo", { args: [pipe] }).output();
    assert.ok(made.success);
    const inputs = join(folder, "copies");
    await Deno.writeTextFile(join(notebooks, "helpers.ts"), "export {};\n");
    await Deno.mkdir(join(notebooks, "own", "deep"), { recursive: true });
    await Deno.writeTextFile(join(notebooks, "own", "deep", "rules.json"), "[]\n");
    const [snapshot] = await Promise.all([
      takeSnapshot({ study, cohort: pipe, notebooks }, inputs),
      Deno.writeTextFile(pipe, "id,age\n3,70\n"),
    ]);
    const { cohortPath, visitsPath } = snapshot.study;
    assert.equal(await Deno.readTextFile(cohortPath), "id,age\n3,70\n");
    assert.equal(snapshot.files[1]?.name, "a, pipe ünï.csv");
    assert.equal(snapshot.files[1]?.sha256, sha256("id,age\n3,70\n"));
    assert.ok(visitsPath.startsWith(inputs));
    // what is imported from folders within is hashed with the rest
    assert.deepEqual([...snapshot.beside], [
      ["helpers.ts", sha256("export {};\n")],
      ["own/deep/rules.json", sha256("[]\n")],
    ]);
    assert.equal((await Deno.stat(cohortPath)).mode! & 0o777, 0o400);
    const elsewhere = (cohort: string) =>
      takeSnapshot({ study, cohort, notebooks }, join(folder, crypto.randomUUID()));
    await assert.rejects(elsewhere(join(folder, "gone.csv")), /gone\.csv[\s\S]*no such file/);
    await assert.rejects(elsewhere(notebooks), /it is a folder/);
    await assert.rejects(elsewhere("/dev/zero"), /it is no file/);
  }));
