import { equal, ok } from "node:assert/strict";
import { fuzz } from "./fuzz.ts";

// Property: whatever is done to the files, every row is accounted for or the file is refused with
// its reasons. Ten thousand and more: deno task fuzz.
Deno.test("examineCohort() and openStudy() survive 400 mutated files", async () => {
  const counts = await fuzz(400, 6);
  equal(counts.analysed + counts.stopped + counts.refused, 400);
  // the mutations are neither too mild nor too wild
  ok(counts.analysed > 20 && counts.stopped > 100 && counts.refused > 20, JSON.stringify(counts));
});
