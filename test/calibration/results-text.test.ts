import assert from "node:assert/strict";
import { type Calibration, resultsText, withSummary } from "./results-text.ts";

Deno.test("resultsText() of the committed numbers is what the pages say", () => {
  const read = (name: string) => Deno.readTextFileSync(new URL(name, import.meta.url));
  const calibration: Calibration = JSON.parse(read("results.json"));
  assert.equal(read("results.md"), resultsText(calibration));
  const guide = read("../../DEVELOPERS.md");
  assert.equal(guide, withSummary(guide, calibration));
});
