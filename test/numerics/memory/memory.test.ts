import assert from "node:assert/strict";
import { Memory } from "../../../lib/numerics/memory/mod.ts";

Deno.test("a memory makes each thing once, also what is nothing, until it has too many", () => {
  const memory = new Memory<string | undefined>(2);
  const made: string[] = [];
  const get = (text: string) =>
    memory.get(text, () => {
      made.push(text);
      return text === "b" ? undefined : text;
    });
  assert.deepEqual([get("a"), get("b"), get("a"), get("b")], ["a", undefined, "a", undefined]);
  assert.deepEqual(made, ["a", "b"]);
  get("c");
  get("a");
  assert.deepEqual(made, ["a", "b", "c", "a"]);
});

Deno.test("a memory keeps what it is given, and nothing of what throws", () => {
  const memory = new Memory<number>(9);
  memory.set("a", 1);
  assert.equal(memory.get("a", () => 2), 1);
  assert.throws(() =>
    memory.get("b", () => {
      throw new Error("no luck");
    }), /no luck/);
  assert.equal(memory.get("b", () => 3), 3);
});
