import { deepEqual, equal, ok } from "node:assert/strict";
import { fileURLToPath } from "node:url";
import { examineCohort, summariseProblems } from "../../lib/cohort/mod.ts";
import { ProblemsError } from "../../lib/study/mod.ts";
import { smallPlan, smallStudy } from "../cohort/small-cohort.ts";
import { type DamagedFile, damagedFiles, soundFiles } from "./cases.ts";

const folder = fileURLToPath(new URL("./files/", import.meta.url));

/** Every problem of a file as it is read, with its severity. */
async function saidOf({ name, table, changes = {} }: DamagedFile): Promise<string[]> {
  const { format, ...rest } = changes;
  const study = smallStudy({
    files: {
      ...smallPlan.files,
      cohort: table === "patients" ? name : "sound-patients.csv",
      visits: table === "visits" ? name : "no-visits.csv",
      ...(format ? { format } : {}),
    },
    ...rest,
  }, `${folder}study.json`);
  const { problems, files, log, cohort } = await examineCohort(study);
  for (const { rowsRead, rowsKept, rowsSetAside } of log) equal(rowsKept + rowsSetAside, rowsRead);
  equal(cohort === null, problems.some(({ severity }) => severity === "structural"));
  return problems.length === 0
    ? []
    : (["structural", "error", "warning"] as const).flatMap((severity) =>
      summariseProblems(problems.filter((problem) => problem.severity === severity), files)
        .map(({ where, what }) => `${severity}: ${where}: ${what}`)
    );
}

// By hand: each file says what its damage is, in the words of cases.ts, and nothing else.
Deno.test("examineCohort() says of each damaged file exactly what is wrong with it", async () => {
  const wrong: unknown[] = [];
  for (const file of damagedFiles) {
    const said = await saidOf(file).catch((error) =>
      error instanceof ProblemsError ? error.message.split("\n") : Promise.reject(error)
    );
    if (JSON.stringify(said) !== JSON.stringify(file.says)) {
      wrong.push({ file: file.name, said, expected: file.says });
    }
  }
  deepEqual(wrong, []);
});

Deno.test("damaged files are at least 60, and those that cases.ts describes", async () => {
  ok(damagedFiles.length >= 60);
  equal(new Set(damagedFiles.map(({ name }) => name)).size, damagedFiles.length);
  for (
    const [name, content] of [
      ...Object.entries(soundFiles),
      ...damagedFiles.map((file): [string, Uint8Array] => [file.name, file.content]),
    ]
  ) {
    const there = await Deno.readFile(`${folder}${name}`);
    ok(
      there.length === content.length && there.every((byte, i) => byte === content[i]),
      `${name} is another: deno run --allow-write=test/damaged test/damaged/write-files.ts`,
    );
  }
});

Deno.test("examineCohort() finds nothing wrong with the sound files", async () => {
  const sound = {
    name: "sound-patients.csv",
    table: "patients" as const,
    content: new Uint8Array(),
  };
  deepEqual(await saidOf({ ...sound, says: [] }), []);
  deepEqual(await saidOf({ ...sound, name: "sound-visits.csv", table: "visits", says: [] }), []);
});
