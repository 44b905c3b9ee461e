/**
 * What runs inside a sandboxed child to list who was left out: prints `excluded.csv`, one line a
 * patient. Neither the report nor its parent process ever reads a row; this does, shut off like a
 * notebook, and the list is for the group's own eyes.
 *
 * Argument: the run's file paths as JSON. Exit code 3 where the cohort cannot be read, which the
 * notebooks say too; 1 where the list does not add up.
 */
import process from "node:process";
import { stringify } from "csv-stringify/sync";
import { exclusionRows, readCohort } from "../../cohort/mod.ts";
import { selectEligible } from "../../cohort/analysis/mod.ts";
import { DataError } from "../../numerics/mod.ts";
import { openStudy } from "../../study/file/mod.ts";
import { harmless } from "./table-csv.ts";
import { messageOf } from "../notebooks/mod.ts";

// some packages list the environment while they load, which a sandboxed run may not read
Object.defineProperty(process, "env", { value: {}, configurable: false, writable: false });
Reflect.set(globalThis, Symbol.for("mitral.run"), JSON.parse(Deno.args[0] ?? "{}"));

async function excludedCsv(): Promise<string> {
  const study = await openStudy();
  const cohort = await readCohort(study);
  const lines = exclusionRows(cohort, selectEligible(cohort, study)).map(
    ({ id, row, step, reason, detail }) => [id, String(row), step, reason, detail].map(harmless),
  );
  return stringify([["patient", "row", "step", "reason", "detail"], ...lines], {
    record_delimiter: "windows",
    quoted_match: /[\r\n\t]/,
  });
}

try {
  const bytes = new TextEncoder().encode(await excludedCsv());
  for (let sent = 0; sent < bytes.length;) sent += Deno.stdout.writeSync(bytes.subarray(sent));
} catch (error) {
  console.error(messageOf(error));
  Deno.exit(error instanceof DataError ? 3 : 1);
}
