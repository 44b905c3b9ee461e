import assert from "node:assert/strict";
import { type Calibration, resultsText, withSummary } from "./results-text.ts";

Deno.test("resultsText() of the committed numbers is what the pages say", () => {
  const read = (name: string) => Deno.readTextFileSync(new URL(name, import.meta.url));
  const calibration: Calibration = JSON.parse(read("results.json"));
  const remedy = "out of date: deno task calibrate --rewrite";
  assert.equal(
    read("results.md"),
    resultsText(calibration),
    `test/calibration/results.md is ${remedy}`,
  );
  const guide = read("../../DEVELOPERS.md");
  assert.equal(guide, withSummary(guide, calibration), `DEVELOPERS.md is ${remedy}`);
});
