import assert from "node:assert/strict";
import { intervalCensoredSurvival } from "mitral";
import { visits } from "./interval-cohorts.ts";

// Simulated: exponential times seen at yearly visits. Were each limit to hold the truth with
// probability 0.95, fewer than 33 of 40 cohorts would have chance below 1e-4 (binomial).
Deno.test("intervalCensoredSurvival() has limits that cover the truth of simulated cohorts", () => {
  let covered = 0;
  for (let seed = 1; seed <= 40; seed++) {
    const data = visits(seed);
    const seen = intervalCensoredSurvival(data, { confidence: 0.95 }).at([4]);
    if (seen.lower[0]! <= Math.exp(-0.8) && Math.exp(-0.8) <= seen.upper[0]!) covered++;
    assert.ok(seen.lower[0]! < seen.survival[0]! && seen.survival[0]! < seen.upper[0]!);
  }
  assert.ok(covered >= 33, `${covered} of 40`);
});
