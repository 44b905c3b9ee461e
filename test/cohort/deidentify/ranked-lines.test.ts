import { deepEqual, equal } from "node:assert/strict";
import fc from "fast-check";
import { rankedLines } from "../../../lib/cohort/deidentify/ranked-lines.ts";

type Line = [line: string, rank: number, day: number];

// Another way: all of them at once, put in order by JavaScript's own stable sort.
Deno.test("rankedLines() gives every line by rank, day and the order they came, and leaves no file", () => {
  const folder = Deno.makeTempDirSync();
  const check = (ranks: number, given: Line[]) => {
    using store = rankedLines(folder, ranks);
    for (const line of given) store.add(...line);
    equal(store.count, given.length);
    deepEqual([...Deno.readDirSync(folder)], []);
    const decoder = new TextDecoder("utf-8", { ignoreBOM: true });
    let text = "";
    for (const block of store.blocks()) text += decoder.decode(block, { stream: true });
    const expected = given.toSorted((a, b) => a[1] - b[1] || a[2] - b[2]);
    equal(text, expected.map(([line]) => line).join(""));
  };
  const lines = (ranks: number) =>
    fc.array(
      fc.tuple(fc.string({ unit: "grapheme" }), fc.nat(ranks - 1), fc.integer({ max: 9, min: -2 })),
    );
  const any = fc.integer({ min: 1, max: 300 }).chain((ranks) =>
    fc.tuple(fc.constant(ranks), lines(ranks))
  );
  fc.assert(fc.property(any, ([ranks, given]) => check(ranks, given)));
  // beyond a buffer, and lines longer than one
  check(1, Array.from({ length: 3000 }, (_, i): Line => [`${i},é€`.repeat(i % 300), 0, -i % 7]));
  check(9, [["a", 8, 0], ["x".repeat(300_000), 0, 1], ["", 0, 0], ["b", 0, 0.5]]);
  Deno.removeSync(folder);
});
