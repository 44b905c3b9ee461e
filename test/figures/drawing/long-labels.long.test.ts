import assert from "node:assert/strict";
import fc from "fast-check";
import { longNames } from "../examples/long-names.ts";
import { clipped, examples } from "./clipped.ts";

Deno.test("no figure cuts off names of 80 characters, in whatever language", () => {
  const found = Object.entries(longNames).flatMap(([language, name]) =>
    examples.flatMap((example) => {
      const { svg, id } = example.relabelled((index) => `${name} ${index}`);
      return clipped(svg).map((line) => `${id}, ${language}: ${line}`);
    })
  );
  assert.deepEqual(found, []);
});

Deno.test("no figure cuts off any name", () => {
  const name = fc.string({ unit: "grapheme", minLength: 1, maxLength: 80 });
  fc.assert(
    fc.property(fc.constantFrom(...examples), name, (example, name) => {
      const { svg, id } = example.relabelled((index) => `${name} ${index}`);
      assert.deepEqual(clipped(svg), [], id);
    }),
    { seed: 18, numRuns: 120 },
  );
});
