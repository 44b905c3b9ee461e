// Columns that completed sets have in common, as a bootstrap sends them to its workers.
import { deepEqual, equal, notEqual, ok } from "node:assert/strict";
import { scoredColumns, scoredColumnsOf } from "../../lib/balance/samples/mod.ts";
import { completedAnalyses } from "../../lib/cohort/mod.ts";
import { analysis, study } from "../demo-analysis.ts";

Deno.test("what completed sets have in common is held once, and is what each has", () => {
  const sets = completedAnalyses(analysis).slice(0, 3);
  const found = scoredColumnsOf(sets, study);
  sets.forEach((set, k) => deepEqual(found[k], scoredColumns(set, study)));
  const [first, second] = found.map(({ covariates }) => covariates);
  equal(second!["age"], first!["age"]);
  const imputed = Object.keys(first!).filter((name) => first![name] !== second![name]);
  ok(imputed.length > 0 && imputed.length < Object.keys(first!).length);
  for (const name of imputed) notEqual(String(first![name]), String(second![name]));
});
