import assert from "node:assert/strict";
import { timeLeftText } from "../../lib/words/mod.ts";

Deno.test("timeLeftText() says roughly how long something will still take", () => {
  // by hand: a quarter in 30 s leaves 90 s
  assert.equal(timeLeftText(10, 40, 30), "about 2 min left");
  assert.equal(timeLeftText(20, 40, 30), "about 30 s left");
  assert.equal(timeLeftText(39, 40, 30), "about 5 s left");
  assert.equal(timeLeftText(1, 40, 600), "about 6.5 h left");
  assert.equal(timeLeftText(1, 40, 6000), "about 65 h left");
  assert.equal(timeLeftText(1, 2, 3599), "about 1.0 h left");
});

Deno.test("timeLeftText() says nothing where nothing can be said", () => {
  for (const [done, all, seconds] of [[0, 40, 30], [40, 40, 30], [1, 40, 1.9], [NaN, 40, 30]]) {
    assert.equal(timeLeftText(done!, all!, seconds!), "");
  }
});
