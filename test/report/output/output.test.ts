import assert from "node:assert/strict";
import { join } from "node:path";
import { type ReportContents, writeReport } from "../../../lib/report/output/mod.ts";
import { claimOutput } from "../../../lib/report/claim/mod.ts";
import { filesBelow } from "../workspace.ts";
import { inFolder, namesIn } from "./output-parts.ts";

const report = (text: string): ReportContents =>
  new Map([["report.html", text], ["tables/a.csv", text], ["manifest.json", "{}"]]);

Deno.test("writeReport() replaces a report whole, keeps what a reader put there, and leaves nothing beside it", () =>
  inFolder(async (folder) => {
    const out = join(folder, "a, b ünï");
    let claimed = await claimOutput(out);
    await writeReport(claimed, report("old"));
    await claimed.release();
    assert.deepEqual(namesIn(folder), ["a, b ünï"]);
    await Deno.writeTextFile(join(out, "my notes.txt"), "kept");
    await Deno.chmod(out, 0o700);
    claimed = await claimOutput(out);
    await writeReport(claimed, new Map([["report.html", "new"], ["manifest.json", "{}"]]));
    await claimed.release();
    // a table of the older report does not stay behind
    assert.deepEqual([...await filesBelow(out)], [
      ["manifest.json", "{}"],
      ["my notes.txt", "kept"],
      ["report.html", "new"],
    ]);
    assert.equal((await Deno.stat(out)).mode! & 0o777, 0o700);
    // what cannot be written leaves the old report as it was
    claimed = await claimOutput(out);
    await assert.rejects(writeReport(claimed, new Map([["x", "x"], ["x/y", "y"]])));
    await claimed.release();
    assert.equal((await filesBelow(out)).get("report.html"), "new");
    assert.deepEqual(namesIn(folder), ["a, b ünï"]);
  }));

Deno.test("claimOutput() lets one run in at a time, through whatever path", () =>
  inFolder(async (folder) => {
    const out = join(folder, "out");
    const first = await claimOutput(out);
    await assert.rejects(claimOutput(out), /another run is writing there; wait until it has ended/);
    await writeReport(first, report("one"));
    await Deno.symlink(out, join(folder, "link"));
    await assert.rejects(claimOutput(join(folder, "link")), /another run is writing there/);
    assert.equal((await Deno.stat(first.work)).mode! & 0o777, 0o700);
    await first.release();
    const second = await claimOutput(join(folder, "link"));
    await second.release();
    // many at once: exactly as many as get in come out
    let inside = 0;
    const turns = await Promise.allSettled(Array.from({ length: 40 }, async () => {
      const claimed = await claimOutput(out);
      assert.equal(++inside, 1);
      await writeReport(claimed, report("many"));
      inside--;
      await claimed.release();
    }));
    assert.ok(turns.some(({ status }) => status === "fulfilled"));
    for (const turn of turns) {
      if (turn.status === "rejected") assert.match(String(turn.reason), /another run is writing/);
    }
    assert.deepEqual(namesIn(folder), ["link", "out"]);
  }));

Deno.test("claimOutput() refuses a folder that holds something else, or stands where nothing can", () =>
  inFolder(async (folder) => {
    await Deno.writeTextFile(join(folder, "thesis.docx"), "");
    await assert.rejects(claimOutput(folder), /holds other files \(thesis\.docx\)/);
    await assert.rejects(
      claimOutput(join(folder, "thesis.docx", "out")),
      /Cannot write the report/,
    );
    await assert.rejects(claimOutput("/"), /choose a folder/);
    // a private folder that somebody laid out beforehand is not entered
    await Deno.symlink(folder, join(folder, ".new.work"));
    await assert.rejects(claimOutput(join(folder, "new")), /not a folder of yours/);
  }));

Deno.test("claimOutput() puts in order what a run that was cut short left behind", () =>
  inFolder(async (folder) => {
    const out = join(folder, "out");
    const claimed = await claimOutput(out);
    await writeReport(claimed, report("old"));
    // between the two renames: the old report is aside, the new one not in its place
    await Deno.rename(out, join(claimed.work, "previous"));
    await Deno.mkdir(join(claimed.work, "next"));
    const left = await copyBeside(claimed.work, folder);
    await claimed.release();
    await Deno.rename(left, claimed.work);
    const again = await claimOutput(out);
    assert.equal((await filesBelow(out)).get("report.html"), "old");
    assert.deepEqual(namesIn(again.work), ["lock"]);
    // after them: the new one is in its place, what the reader kept still aside
    await Deno.mkdir(join(again.work, "previous"));
    await Deno.writeTextFile(join(again.work, "previous", "notes.txt"), "kept");
    await Deno.writeTextFile(join(again.work, "previous", "report.html"), "older");
    const kept = await copyBeside(again.work, folder);
    await again.release();
    await Deno.rename(kept, again.work);
    await (await claimOutput(out)).release();
    const files = await filesBelow(out);
    assert.equal(files.get("report.html"), "old");
    assert.equal(files.get("notes.txt"), "kept");
    assert.deepEqual(namesIn(folder), ["out"]);
  }));

/** The private folder as a killed run would leave it. */
async function copyBeside(work: string, folder: string): Promise<string> {
  const copy = join(folder, "copy");
  await Deno.mkdir(copy);
  for (const { name } of Deno.readDirSync(work)) {
    if (name !== "lock") await Deno.rename(join(work, name), join(copy, name));
  }
  return copy;
}

Deno.test("a run whose private folder was removed takes nothing from the one that came in since", () =>
  inFolder(async (folder) => {
    const out = join(folder, "out");
    const first = await claimOutput(out);
    await Deno.remove(first.work, { recursive: true });
    const second = await claimOutput(out);
    await Deno.writeTextFile(join(second.work, "inputs"), "the second's");
    await assert.rejects(writeReport(first, report("first")), /was removed while the run went on/);
    await first.release();
    assert.deepEqual(namesIn(second.work), ["inputs", "lock"]);
    await assert.rejects(claimOutput(out), /another run is writing there/);
    await writeReport(second, report("second"));
    await second.release();
    assert.equal((await filesBelow(out)).get("report.html"), "second");
    assert.deepEqual(namesIn(folder), ["out"]);
  }));

Deno.test("a report's folder that became a link or a file meanwhile is not followed", () =>
  inFolder(async (folder) => {
    const out = join(folder, "out");
    const elsewhere = join(folder, "elsewhere");
    await Deno.mkdir(elsewhere);
    await Deno.writeTextFile(join(elsewhere, "thesis.docx"), "mine");
    const claimed = await claimOutput(out);
    await Deno.symlink(elsewhere, out);
    await assert.rejects(writeReport(claimed, report("new")), /it is no folder any more/);
    await claimed.release();
    assert.deepEqual(namesIn(elsewhere), ["thesis.docx"]);
    await Deno.remove(out);
    const again = await claimOutput(out);
    await Deno.writeTextFile(out, "a file");
    await assert.rejects(writeReport(again, report("new")), /it is no folder any more/);
    await again.release();
    assert.equal(await Deno.readTextFile(out), "a file");
  }));
