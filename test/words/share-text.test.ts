import assert from "node:assert/strict";
import { levelText, shareText } from "../../lib/words/mod.ts";

Deno.test("shareText() takes no event for no certainty (by hand)", () => {
  assert.equal(shareText({ estimate: 0.0231, upper: 0.06 }), "2.3%");
  assert.equal(shareText({ estimate: 0, upper: 0.034 }), "< 3.4%");
  assert.equal(shareText({ estimate: 0, upper: 0.034 }, { digits: 0 }), "< 3%");
  // a tie of the decimal text rounds up, and a range that is not known bounds nothing
  assert.equal(shareText({ estimate: 0.285, upper: 0.4 }, { digits: 0 }), "29%");
  assert.equal(shareText({ estimate: 0, upper: NaN }), "0.0%");
});

Deno.test("levelText() names a level as the plan has it (by hand)", () => {
  assert.deepEqual([0.95, 0.975, 0.9].map(levelText), ["95%", "97.5%", "90%"]);
});
