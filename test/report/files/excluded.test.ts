import { deepEqual, equal, rejects } from "node:assert/strict";
import { join } from "node:path";
import { parse } from "csv-parse/sync";
import { excludedList, keptList } from "../../../lib/report/files/excluded-list.ts";
import { projectFolder } from "../../../lib/report/sandbox/mod.ts";
import { keptFiles } from "../../../lib/report/kept/mod.ts";
import { csvOf, patientsOf, smallPlan } from "../../cohort/small-cohort.ts";

const redo = {
  id: "redo",
  reason: "=previous; =operation",
  column: "redo",
  exclude: { oneOf: [1] },
};

async function listOf(patients: string): Promise<string | undefined> {
  const folder = await Deno.makeTempDir();
  try {
    const files = {
      study: join(folder, "study.json"),
      cohort: join(folder, "patients.csv"),
      visits: join(folder, "visits.csv"),
    };
    await Deno.writeTextFile(files.study, JSON.stringify({ ...smallPlan, eligibility: [redo] }));
    await Deno.writeTextFile(files.cohort, patients);
    await Deno.writeTextFile(files.visits, "id,day,mr\nP0004,30,5\n");
    return await excludedList(files, { read: [projectFolder, folder] });
  } finally {
    await Deno.remove(folder, { recursive: true });
  }
}

// By hand.
Deno.test("excluded.csv names patient, row, step, reason and what was found", async () => {
  const patients = patientsOf([{}, { redo: 1 }, { case_seq: 1 }, {}, { nyha: 9 }, {}]);
  const list = await listOf(csvOf(patients));
  deepEqual(parse(list ?? ""), [
    ["left out", "patient", "row", "step", "reason", "detail"],
    ["patient", "P0001", "1", "invalid-value", unknown, twice(4)],
    ["patient", "P0002", "2", "redo", "'=previous; '=operation", ""],
    ["patient", "P0003", "3", "invalid-value", unknown, twice(2)],
    [
      "cell",
      "P0005",
      "5",
      "invalid-cell",
      "the cell is taken as missing",
      "nyha: not between 1 and 4 (found 9)",
    ],
    [
      "visit",
      "P0004",
      "1",
      "invalid-visit",
      "the visit is not used",
      "visit on line 2, mr: not between 0 and 4 grade (found 5)",
    ],
  ]);
});

const unknown = "identity, group or follow-up cannot be told from the row";

function twice(line: number): string {
  return `case_seq: has the place in the series of line ${line} (found 1)`;
}

Deno.test("excludedList() gives no list of a cohort that cannot be read, and throws on any other failure", async () => {
  equal(await listOf("id,age\nP0001,60\n"), undefined);
  // a process that cannot even start
  await rejects(
    excludedList({ study: "nowhere.json" }, { read: [""] }),
    /Cannot list who was left out/,
  );
});

Deno.test("keptList() makes a list once for the same files, keeps none that is not there, and passes failures on", async () => {
  const folder = await Deno.makeTempDir();
  try {
    const kept = keptFiles(join(folder, "report"), { library: "l", lock: "p" });
    let made = 0;
    const listOf = (list: string | undefined, sha256: string) =>
      keptList(kept, [{ role: "cohort", sha256 }], () => {
        made++;
        return Promise.resolve(list);
      });
    equal(await listOf("Å", "1"), "Å");
    equal(await listOf("never made", "1"), "Å");
    equal(await listOf("another", "2"), "another");
    equal(await listOf(undefined, "3"), undefined);
    equal(await listOf("can be read again", "3"), "can be read again");
    equal(made, 4);
    await rejects(keptList(kept, [], () => Promise.reject(new Error("broken"))), /broken/);
  } finally {
    await Deno.remove(folder, { recursive: true });
  }
});
