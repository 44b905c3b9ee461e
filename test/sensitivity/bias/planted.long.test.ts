import assert from "node:assert/strict";
import { SeededRandom } from "mitral";
import { controlOf } from "./planted-parts.ts";

// Limits of 95 % leave no effect out in 5 % of cohorts; with weights taken as known a little less.
Deno.test("negativeControl() declares about 95 % of cohorts clean where nothing is planted", () => {
  const random = new SeededRandom(7101);
  const cohorts = 500;
  let seen = 0;
  for (let k = 0; k < cohorts; k++) if (controlOf(random, 500, 0).seen) seen++;
  // the binomial error of 5 % in 500 is 1 %
  assert.ok(seen / cohorts > 0.015 && seen / cohorts < 0.08, `${seen} of ${cohorts} seen`);
});
