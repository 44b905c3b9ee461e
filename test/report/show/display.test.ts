import assert from "node:assert/strict";
import { displayAll } from "mitral";
import { displayChannel } from "../../../lib/report/show/mod.ts";

Deno.test("displayAll() shows each of several values, in order, and nothing of none", async () => {
  const shown: unknown[] = [];
  Reflect.set(globalThis, displayChannel, async (value: unknown) => {
    await new Promise((resolve) => setTimeout(resolve, value === "first" ? 5 : 0));
    shown.push(value);
  });
  try {
    await displayAll(["first", 2, { third: 3 }]);
    await displayAll([]);
    assert.deepEqual(shown, ["first", 2, { third: 3 }]);
  } finally {
    Reflect.deleteProperty(globalThis, displayChannel);
  }
});
