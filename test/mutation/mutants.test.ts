import assert from "node:assert/strict";
import { mutantsOf, mutated, switched } from "./mutants.ts";

const source = `
import { a } from "./a.ts";
/** Adds 2. */
export function f(x: 1 | 2, n: number): number {
  if (!(n > 0)) throw new Error("above " + 0);
  for (let i = 0; i < n; i++) if (x === 1 && a) return n * 3;
  return n - 1;
}
`;

Deno.test("mutantsOf() changes what a test should notice, and nothing else", () => {
  const words = mutantsOf("f.ts", source).map(({ line, from, to }) => `${line}: ${from} -> ${to}`);
  assert.deepEqual(words, [
    "5: !(n > 0) -> !(!(n > 0))",
    "5: > -> >=",
    "5: 0 -> 1",
    "6: 0 -> 1",
    "6: x === 1 && a -> !(x === 1 && a)",
    "6: && -> ||",
    "6: === -> !==",
    "6: 1 -> 2",
    "6: * -> /",
    "6: 3 -> 4",
    "7: - -> +",
    "7: 1 -> 2",
  ]);
});

Deno.test("mutated() changes one place", () => {
  for (const mutant of mutantsOf("f.ts", source)) {
    const changed = mutated(source, mutant);
    assert.equal(changed.length - source.length, mutant.to.length - mutant.from.length);
    assert.equal(changed.slice(0, mutant.start), source.slice(0, mutant.start));
  }
});

Deno.test("switched() changes the one whose number is set, and nothing else", () => {
  const [, more, zero, , , , , , times] = mutantsOf("f.ts", source);
  assert.equal(times!.from, "*");
  const text = switched("a >= b; x * 3;", [
    [1, { ...more!, start: 2, end: 4, to: ">", whole: [0, 6] }],
    [2, { ...times!, start: 10, end: 11, to: "/", whole: [8, 13] }],
  ]);
  assert.equal(
    text,
    "((globalThis.reached[1] = 1) && globalThis.mutant === 1 ? (a > b) : (a >= b)); " +
      "((globalThis.reached[2] = 1) && globalThis.mutant === 2 ? (x / 3) : (x * 3));",
  );
  assert.equal(zero!.atEveryCall, true);
  assert.equal(mutantsOf("g.ts", "export const most = 5;")[0]!.atEveryCall, false);
});
