import assert from "node:assert/strict";
import type { TruthFile } from "../../lib/simulate/truth/truth-file.ts";
import { estimatesFrom } from "./estimates.ts";
import { runCohorts } from "./run-cohorts.ts";
import { type Performance, performance as performanceOf } from "./summary.ts";

// Kind: simulation. A small part of `deno task calibrate`; what a few cohorts can tell.

const truth: TruthFile = JSON.parse(
  Deno.readTextFileSync(new URL("../../data-demo/truth.json", import.meta.url)),
);
const seeds = Array.from({ length: 12 }, (_, k) => 710_001 + k);
const { results, failures } = await runCohorts("estimates", seeds);
const rows = performanceOf(results, truth.answers);

function rowOf(quantity: string, design: string, time: number): Performance {
  const row = rows.find((one) =>
    one.quantity === quantity && one.design === design && one.time === time
  );
  assert.ok(row, `${quantity}, ${design}, ${time}`);
  return row;
}

/** What calibration with many cohorts finds, rounded up: see results.md, per 1. */
const knownBias: Record<string, Record<string, number>> = {
  survival: { matched: 0.01, matchedClosest: 0.004, overlap: 0.003, everyone: 0.003 },
  recurrenceFound: { matched: 0.01, matchedClosest: 0.006, overlap: 0.005, everyone: 0.002 },
};

Deno.test("readCohort() and the designs take every simulated cohort", () => {
  assert.deepEqual(failures, []);
});

for (const quantity of ["survival", "recurrenceFound"]) {
  Deno.test(`matchedSample() and weightedSample() recover the true ${quantity} at five years`, () => {
    for (const [design, known] of Object.entries(knownBias[quantity]!)) {
      const { bias, biasError } = rowOf(quantity, design, 5);
      assert.ok(
        Math.abs(bias) <= known + 4 * biasError,
        `${design}: bias ${bias}, Monte-Carlo error ${biasError}`,
      );
    }
  });

  Deno.test(`unadjusted() does not recover the true ${quantity} at five years`, () => {
    const { bias, biasError } = rowOf(quantity, "unadjusted", 5);
    assert.ok(Math.abs(bias) > 4 * biasError, `bias ${bias}, Monte-Carlo error ${biasError}`);
    // confounding makes repair look better than it is, in both
    assert.equal(Math.sign(bias), quantity === "survival" ? 1 : -1);
  });
}

Deno.test("survivalDifference() gives errors of the size of the spread it has", () => {
  // from 12 normal estimates SD / SE is below 0.4 or above 1.8 once in a thousand
  // (chi-square, 11 df)
  for (const design of ["matched", "overlap", "everyone"]) {
    const { empirical, estimated } = rowOf("survival", design, 5);
    const ratio = empirical / estimated;
    assert.ok(ratio > 0.4 && ratio < 1.8, `${design}: ${ratio}`);
  }
});

Deno.test("runCohorts() gives in workers what one thread gives", async () => {
  assert.deepEqual(results[0], await estimatesFrom(seeds[0]!));
});
