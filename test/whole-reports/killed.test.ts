import assert from "node:assert/strict";
import { join } from "node:path";
import { claimOutput } from "../../lib/report/claim/mod.ts";
import { projectFolder } from "../../lib/report/sandbox/mod.ts";
import { SeededRandom } from "../../lib/numerics/mod.ts";
import { filesBelow, withWorkspace } from "../report/workspace.ts";

const script = (name: string) => join(projectFolder, "test", name);
const start = (name: string, ...args: string[]) =>
  new Deno.Command(Deno.execPath(), {
    args: ["run", "--no-check", "-A", script(name), ...args],
    stdout: "piped",
    stderr: "null",
  }).spawn();
const wait = (milliseconds: number) => new Promise((resolve) => setTimeout(resolve, milliseconds));

Deno.test("a report that is being replaced when its run is killed is the old one or the new one, 40 times", async () => {
  const folder = await Deno.makeTempDir({ prefix: "mitral-test-" });
  const out = join(folder, "out");
  const random = new SeededRandom(20);
  let asideOnce = 0;
  try {
    for (let kill = 0; kill < 40; kill++) {
      const child = start("whole-reports/replace-for-ever.ts", out);
      const reader = child.stdout.getReader();
      await reader.read(); // it has begun
      await wait(random.uniform() * 60);
      child.kill("SIGKILL");
      await child.status;
      await reader.cancel();
      const whole = (files: Map<string, string>) => {
        assert.equal(files.size, 40);
        const versions = new Set([...files.values()].map((text) => text.split("\n")[0]));
        assert.equal(versions.size, 1, [...versions].join(" and "));
      };
      const seen = await filesBelow(out).catch(() => undefined);
      // between two renames in a row there is none; the next run brings the old one back
      if (seen) whole(seen);
      else asideOnce++;
      await (await claimOutput(out)).release();
      whole(await filesBelow(out));
    }
    assert.ok(asideOnce <= 4, `${asideOnce} of 40 found no report`);
    assert.deepEqual([...Deno.readDirSync(folder)].map(({ name }) => name), ["out"]);
  } finally {
    await Deno.remove(folder, { recursive: true });
  }
});

Deno.test("a run killed at any moment leaves the old report, ends its notebooks, and hinders no other", async () => {
  const notebooks = { "01-a": ["1", '"two"'], "02-b": ['console.log("three")'] };
  await withWorkspace(notebooks, async ({ folder, study, notebooks, out }) => {
    const once = async () => {
      const began = performance.now();
      const { success } = await start("report/output/report-once.ts", study, notebooks, out)
        .output();
      assert.ok(success);
      const files = await filesBelow(out);
      files.delete("manifest.json"); // it alone has times
      return { files, duration: performance.now() - began };
    };
    await once();
    const old = (await once()).files;
    const plan = JSON.parse(await Deno.readTextFile(study));
    plan.title = "Another title";
    await Deno.writeTextFile(study, JSON.stringify(plan));
    const { files: fresh, duration } = await once();
    assert.notDeepEqual(fresh, old);
    const random = new SeededRandom(7);
    for (let kill = 0; kill < 8; kill++) {
      const child = start("report/output/report-once.ts", study, notebooks, out);
      await wait(random.uniform() * duration);
      try {
        child.kill("SIGKILL");
      } catch {
        // it was faster this time
      }
      await child.output();
      const files = await filesBelow(out);
      files.delete("manifest.json");
      assert.deepEqual(files, fresh);
    }
    assert.deepEqual((await once()).files, fresh);
    // results of notebooks that ended well stay for the next run, and nothing else
    const hidden = [...Deno.readDirSync(folder)].filter(({ name }) => name.startsWith("."));
    assert.deepEqual(hidden.map(({ name }) => name), [".out.kept"]);
  });
});

Deno.test({
  name: "a notebook that computes for ever ends with the run that was killed",
  ignore: Deno.build.os !== "linux",
  fn: () =>
    withWorkspace({ "01-stuck": ["for (;;);"] }, async ({ study, notebooks, out }) => {
      const child = start("report/output/report-once.ts", study, notebooks, out);
      const guests = () =>
        [...Deno.readDirSync("/proc")].filter(({ name }) => {
          try {
            const line = /^\d+$/.test(name) ? Deno.readTextFileSync(`/proc/${name}/cmdline`) : "";
            return line.includes("guest/runtime.ts") && line.includes(notebooks);
          } catch {
            return false;
          }
        }).length;
      for (let k = 0; k < 600 && guests() === 0; k++) await wait(100);
      assert.equal(guests(), 1);
      child.kill("SIGKILL");
      await child.output();
      for (let k = 0; k < 100 && guests() > 0; k++) await wait(100);
      assert.equal(guests(), 0);
    }),
});
