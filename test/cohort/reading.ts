import { equal, ok, rejects } from "node:assert/strict";
import { type Examination, examineCohort } from "../../lib/cohort/mod.ts";
import { ProblemsError } from "../../lib/study/mod.ts";
import { csvOf, patientsOf, readText, type Row, smallStudy } from "./small-cohort.ts";

// What each damage must say is by hand: the dictionary's ranges and rules, in our own words.
export const noVisits = "id,day,mr\n";
export const twenty = (row: Row) => Array.from({ length: 20 }, () => ({ ...row }));

/** The lines of the message with which reading stops. */
export async function stopped(patients: string | Uint8Array, visits = noVisits, changes = {}) {
  let lines: string[] = [];
  await rejects(readText(patients, visits, changes), (error) => {
    ok(error instanceof ProblemsError, String(error));
    equal(error.name, "DataError");
    lines = error.problems.map(({ where, what }) => `${where}: ${what}`);
    return true;
  });
  return lines;
}

/** Everything found in rows of patients, where it stops a run and where it does not. */
export async function examineRows(patients: Row[], visits: Row[] = []): Promise<Examination> {
  const folder = await Deno.makeTempDir();
  try {
    const study = smallStudy({}, `${folder}/study.json`);
    await Deno.writeTextFile(study.cohortPath, csvOf(patientsOf(patients)));
    await Deno.writeTextFile(study.visitsPath, csvOf(visits, ["id", "day", "mr"]));
    return await examineCohort(study);
  } finally {
    await Deno.remove(folder, { recursive: true });
  }
}
