import assert from "node:assert/strict";
import { trueAnswers } from "../../lib/simulate/truth/true-answers.ts";
import type { TruthFile } from "../../lib/simulate/truth/truth-file.ts";
import { committed } from "./demo-file-parts.ts";

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
