import assert from "node:assert/strict";
import { taskLine } from "../../lib/study/command-line/mod.ts";

Deno.test("taskLine() leaves out options without a value, and quotes what is not one word", () => {
  assert.equal(
    taskLine("report", { study: "a b/study.json", cohort: undefined, preview: true, fresh: false }),
    "deno task report --study 'a b/study.json' --preview",
  );
  assert.equal(taskLine("verify", {}, ["out/it's"]), "deno task verify 'out/it'\\''s'");
  assert.equal(
    taskLine("validate", { study: "Größe/plan,1.json" }),
    "deno task validate --study Größe/plan,1.json",
  );
});
