import { join } from "node:path";
import { demoStudy, projectFolder } from "../lib/report/sandbox/mod.ts";
import { libraryHash, notebooksOf, readNotebooks } from "../lib/report/snapshot/mod.ts";
import { sha256 } from "../lib/numerics/memory/mod.ts";
import { changedInputs, verifyOutput } from "../lib/report/output/mod.ts";
import { openStudy, provenance } from "../lib/study/file/mod.ts";
import { quickReport } from "./report/workspace.ts";

/**
 * The folder of a whole report on the demonstration, as its files lie here now. It is built where
 * none is there, once for all tests of a run and for later runs: the one that `deno task report`
 * wrote is taken where nothing that it was made from has changed, else one of the tests'
 * own, in `out/`.
 *
 * To be read, never written to.
 */
export async function demoReport(): Promise<string> {
  const written = join(projectFolder, "out", "demo");
  if (await isCurrent(written)) return written;
  const own = join(projectFolder, "out", "demo-for-tests");
  await Deno.mkdir(join(projectFolder, "out"), { recursive: true });
  // test files run side by side: the first builds, the others wait
  using lock = await Deno.open(`${own}.lock`, { create: true, write: true });
  await lock.lock(true);
  if (!await isCurrent(own)) {
    const { model } = await quickReport({ out: own });
    if (model.failures.length > 0) {
      const [first] = model.failures;
      throw new Error(`The demonstration's report failed: ${first?.notebook}: ${first?.message}`);
    }
  }
  return own;
}

/** Whether a folder holds a whole report made from what lies here now, as its run left it. */
async function isCurrent(folder: string): Promise<boolean> {
  const verified = await verifyOutput(folder).catch(() => undefined);
  if (!verified?.manifest.complete || verified.problems.length > 0) return false;
  const study = await openStudy(demoStudy);
  const inputs = new Map([
    ["lock", sha256(await Deno.readFile(join(projectFolder, "deno.lock")))],
    ["library", libraryHash()],
  ]);
  for (const { role, sha256 } of await provenance(study)) inputs.set(role, sha256);
  const { hashes, beside } = await readNotebooks(await notebooksOf(study));
  const { manifest } = verified;
  return manifest.notebooks.length === hashes.size &&
    changedInputs(manifest, { inputs, notebooks: hashes, beside }).length === 0;
}
