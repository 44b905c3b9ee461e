import assert from "node:assert/strict";
import { readingLines } from "../../../lib/cohort/file/mod.ts";

/** What is written while files are read, a step every so many milliseconds. */
function said(isTerminal: boolean, step: number, files: readonly string[]): string[] {
  const written: string[] = [];
  let now = 0;
  const { progress, end } = readingLines({
    write: (text) => written.push(text),
    isTerminal,
    now: () => now,
  });
  for (const file of files) {
    for (let bytes = 0; bytes <= 100; bytes += 10) {
      progress({ file, rows: 5 * bytes, bytes, total: 100 });
      now += step;
    }
  }
  end();
  return written;
}

Deno.test("readingLines() say how far a file has been read and how long it will take", () => {
  const written = said(true, 1000, ["a.csv"]);
  assert.equal(written[0], "\r\x1b[2Ka.csv: 50 rows, 10%");
  // by hand: half in 5 s leaves 5 s
  assert.equal(written[4], "\r\x1b[2Ka.csv: 250 rows, 50%, about 5 s left");
  assert.equal(written.at(-2), "\r\x1b[2Ka.csv: 500 rows, 100%");
  assert.equal(written.at(-1), "\n");
});

Deno.test("readingLines() begin anew with another file, and where one is read again", () => {
  for (const files of [["a.csv", "b.csv"], ["a.csv", "a.csv"]]) {
    const written = said(true, 1000, files);
    // the first second of the second reading says nothing of the first
    assert.equal(written[10], `\r\x1b[2K${files[1]}: 50 rows, 10%`);
  }
});

Deno.test("readingLines() write a line every ten seconds elsewhere, and nothing of short files", () => {
  assert.deepEqual(said(false, 5000, ["a.csv"]).slice(0, 2), [
    "a.csv: 100 rows, 20%, about 40 s left\n",
    "a.csv: 200 rows, 40%, about 30 s left\n",
  ]);
  assert.deepEqual(said(false, 50, ["a.csv", "b.csv"]), []);
  assert.deepEqual(said(true, 40, ["a.csv"]), []);
});
