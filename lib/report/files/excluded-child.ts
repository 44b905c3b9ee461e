/**
 * What runs inside a sandboxed child to list who and what was left out: prints `excluded.csv`, one
 * line a patient, a visit that is not used, or a cell taken as missing. Neither the report nor its
 * parent process ever reads a row; this does, shut off like a notebook, and the list is for the
 * group's own eyes.
 *
 * Argument: the run's file paths as JSON. Exit code 3 where the cohort cannot be read, which the
 * notebooks say too; 1 where the list does not add up.
 */
import process from "node:process";
import { stringify } from "csv-stringify/sync";
import { exclusionRows, readCohort, unusedRows } from "../../cohort/mod.ts";
import { selectEligible } from "../../cohort/analysis/mod.ts";
import { DataError } from "../../numerics/mod.ts";
import { openStudy } from "../../study/file/mod.ts";
import { harmless } from "./table-csv.ts";
import { messageOf } from "../../study/command-line/mod.ts";

// some packages list the environment while they load, which a sandboxed run may not read
Object.defineProperty(process, "env", { value: {}, configurable: false, writable: false });
Reflect.set(globalThis, Symbol.for("mitral.run"), JSON.parse(Deno.args[0] ?? "{}"));

async function excludedCsv(): Promise<string> {
  const study = await openStudy();
  const cohort = await readCohort(study);
  const patients = exclusionRows(cohort, selectEligible(cohort, study)).map(
    ({ id, row, step, reason, detail }) => ["patient", id, String(row), step, reason, detail],
  );
  const reasons = { visit: "the visit is not used", cell: "the cell is taken as missing" };
  const others = unusedRows(cohort).map(({ what, id, line, detail }) => {
    // rows are counted from 1, the header being line 1
    const row = line === null ? "" : String(line - 1);
    return [what, id, row, `invalid-${what}`, reasons[what], detail];
  });
  const heading = ["left out", "patient", "row", "step", "reason", "detail"];
  const lines = [...patients, ...others].map((line) => line.map(harmless));
  return stringify([heading, ...lines], {
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
