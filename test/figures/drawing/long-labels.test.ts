import assert from "node:assert/strict";
import * as figures from "../../../lib/figures/mod.ts";
import { clipped, examples } from "./clipped.ts";

Deno.test("every exported figure has an example", () => {
  const exported = Object.keys(figures).filter((name) => /^(?!make).*Figure$/.test(name));
  const drawn = new Set(examples.map(({ by }) => by));
  const without = exported.filter((name) => !drawn.has(name));
  assert.deepEqual(
    without,
    [],
    `${without.join(", ")}: add an example to test/figures/examples/examples.ts`,
  );
});

Deno.test("no figure cuts off its own words", () => {
  for (const { figure } of examples) assert.deepEqual(clipped(figure.svg), [], figure.id);
});
