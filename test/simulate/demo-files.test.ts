import assert from "node:assert/strict";
import { cohortFiles, demoCohort, demoTruth } from "../../lib/simulate/rows/cohort-files.ts";
import { simulateCohort } from "../../lib/simulate/rows/simulate-cohort.ts";
import { type TruthFile, truthFile } from "../../lib/simulate/truth/truth-file.ts";
import { committed } from "./demo-file-parts.ts";

Deno.test("demo-data: the committed CSV files are those the seed gives, byte for byte", () => {
  const files = cohortFiles(simulateCohort(demoCohort));
  for (const [name, text] of Object.entries(files)) {
    assert.ok(committed(name) === text, `${name} differs: run \`deno task demo-data\``);
  }
});

Deno.test("demo-data: truth.json was made with today's parameters, seed and size", () => {
  const truth: TruthFile = JSON.parse(committed("truth.json"));
  const now: TruthFile = JSON.parse(truthFile(truth.answers));
  assert.deepEqual(truth, now, "data-demo/truth.json is out of date: run `deno task demo-data`");
  assert.deepEqual(truth.cohort, demoCohort);
  assert.equal(truth.answers.seed, demoTruth.seed);
  assert.deepEqual(truth.answers.horizons, demoTruth.horizons);
});
