import { deepEqual, equal } from "node:assert/strict";
import { lineStore } from "../../../lib/cohort/deidentify/line-store.ts";
import fc from "fast-check";

// Identity, beyond the size of a chunk and of the first index.
Deno.test("lineStore() gives back every line, in any order", () => {
  const decoder = new TextDecoder("utf-8", { ignoreBOM: true });
  const check = (lines: string[]) => {
    const store = lineStore();
    for (const line of lines) store.add(line);
    equal(store.count, lines.length);
    lines.map((_, i) => lines.length - 1 - i).forEach((i) =>
      equal(decoder.decode(store.at(i)), lines[i])
    );
  };
  fc.assert(fc.property(fc.array(fc.string({ unit: "grapheme" })), check));
  check(Array.from({ length: 3000 }, (_, i) => `${i},é€`.repeat(i % 300)));
  check(["a", "x".repeat(3_000_000), "", "b"]);
  deepEqual(lineStore().at(0), new Uint8Array());
});
