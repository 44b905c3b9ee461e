import assert from "node:assert/strict";
import { cohortFiles, demoCohort, demoTruth } from "../../lib/simulate/rows/cohort-files.ts";
import { simulateCohort } from "../../lib/simulate/rows/simulate-cohort.ts";
import { trueAnswers } from "../../lib/simulate/truth/true-answers.ts";
import { type TruthFile, truthFile } from "../../lib/simulate/truth/truth-file.ts";

const committed = (name: string) =>
  Deno.readTextFileSync(new URL(`../../data-demo/${name}`, import.meta.url));

Deno.test("demo-data: the committed CSV files are those the seed gives, byte for byte", () => {
  const files = cohortFiles(simulateCohort(demoCohort));
  for (const [name, text] of Object.entries(files)) {
    assert.ok(committed(name) === text, `${name} differs: run \`deno task demo-data\``);
  }
});

Deno.test("demo-data: truth.json was made with today's parameters, seed and size", () => {
  const truth: TruthFile = JSON.parse(committed("truth.json"));
  const now: TruthFile = JSON.parse(truthFile(truth.answers));
  assert.deepEqual(truth, now);
  assert.deepEqual(truth.cohort, demoCohort);
  assert.equal(truth.answers.seed, demoTruth.seed);
  assert.deepEqual(truth.answers.horizons, demoTruth.horizons);
});

Deno.test("demo-data: truth.json agrees with a smaller simulation from another seed", () => {
  const truth: TruthFile = JSON.parse(committed("truth.json"));
  const again = trueAnswers({ seed: 77, n: 72_000 });
  for (const name of ["everyone", "treated", "overlap", "unadjusted", "secondary"] as const) {
    const then = truth.answers.populations[name];
    const now = again.populations[name];
    for (const  of of["survival", "recurrence", "recurrenceFound", "reoperation"] as const) {
      for (const group of ["repair", "replacement", "difference"] as const) {
        then[of][group].forEach((value, k) => {
          const other = now[of][group][k]!;
          const error = Math.hypot(value.standardError, other.standardError);
          // five errors, since 180 values are compared and errors come from 20 batches
          assert.ok(
            Math.abs(value.estimate - other.estimate) < 5 * error,
            `${name} ${of} ${group} ${k}: ${value.estimate} against ${other.estimate}`,
          );
        });
      }
    }
  }
});
