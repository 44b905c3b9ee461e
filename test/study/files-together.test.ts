import { deepEqual, equal, rejects } from "node:assert/strict";
import { join } from "node:path";
import { writeOwnBlocks, writeTogether } from "../../lib/study/file/mod.ts";

const encode = (text: string) => new TextEncoder().encode(text);
const full = new Error("No space left on device (os error 28)");

/** A writer that fails half-way, as on a full disk. */
function* halfOf(text: string) {
  yield encode(text.slice(0, text.length / 2));
  throw full;
}

const file = (path: string, text: string) => ({
  path,
  write: (to: string) => writeOwnBlocks(to, [encode(text)]),
});

async function inFolder(use: (folder: string) => Promise<void>) {
  const folder = await Deno.makeTempDir();
  try {
    await use(folder);
  } finally {
    await Deno.remove(folder, { recursive: true });
  }
}

Deno.test("writeTogether() leaves nothing of any file where one stops half-way", () =>
  inFolder(async (folder) => {
    const out = join(folder, "new", "clean");
    const cut = {
      path: join(out, "b.csv"),
      write: (to: string) => writeOwnBlocks(to, halfOf("of this half is written")),
    };
    await rejects(writeTogether([file(join(out, "a.csv"), "whole"), cut]), /No space left/);
    deepEqual([...Deno.readDirSync(folder)], []);
  }));

Deno.test("writeTogether() leaves what was there where a file cannot be written", () =>
  inFolder(async (folder) => {
    const [a, b] = [join(folder, "a.csv"), join(folder, "b.csv")];
    await writeTogether([file(a, "last year"), file(b, "last year's visits")]);
    const cut = { path: b, write: (to: string) => writeOwnBlocks(to, halfOf("this year's")) };
    await rejects(writeTogether([file(a, "this year"), cut]), /No space left/);
    deepEqual([...Deno.readDirSync(folder)].map(({ name }) => name).sort(), ["a.csv", "b.csv"]);
    equal(await Deno.readTextFile(a), "last year");
    equal(await Deno.readTextFile(b), "last year's visits");
    await writeTogether([file(a, "this year"), file(b, "this year's visits")]);
    equal(await Deno.readTextFile(a), "this year");
    if (Deno.build.os !== "windows") equal((await Deno.stat(b)).mode! & 0o777, 0o600);
  }));
