import assert from "node:assert/strict";
import { stringify } from "csv-stringify/sync";
import { join } from "node:path";
import { SeededRandom } from "mitral";
import { deidentify } from "../../lib/cohort/deidentify/deidentify.ts";
import { simulateCohort } from "../../lib/simulate/rows/simulate-cohort.ts";
import { ProblemsError } from "../../lib/study/mod.ts";
import { examineCohort } from "../../lib/cohort/mod.ts";
import { smallStudy } from "../cohort/small-cohort.ts";
import { classes, languages } from "./corpus.ts";

// Each of 20 classes in 4 languages, hidden in 6 ways at once: 480 plants in 80 pairs of files.
type Row = Record<string, string | number>;

interface PlantedFiles {
  name: string;
  patients: Row[];
  visits: Row[];
  plants: { table: "patients" | "visits"; column: string; values: string[] }[];
}

const cohort = simulateCohort({ seed: 11, n: 60 });
const neutral = ["field7", "x_12", "Var3"] as const;

function plantedFiles(): PlantedFiles[] {
  const random = new SeededRandom(20240612);
  return Object.entries(classes).flatMap(([what, write]) =>
    languages.map((language): PlantedFiles => {
      const patients: Row[] = cohort.patients.map((row) => ({ ...row }));
      const visits: Row[] = cohort.visits.map((row) => ({ ...row }));
      const plants: PlantedFiles["plants"] = [];
      const into = (table: "patients" | "visits", column: string) => {
        const values: string[] = [];
        plants.push({ table, column, values });
        return () => {
          const value = write(random, language);
          values.push(value);
          return value;
        };
      };
      // a column of the patients
      const own = into("patients", neutral[0]);
      for (const row of patients) row[neutral[0]] = own();
      // a column of the visits, the same on each of a patient's rows
      const each = into("visits", neutral[1]);
      const ofPatient = new Map(patients.map(({ id }) => [id, each()]));
      for (const row of visits) row[neutral[1]] = ofPatient.get(row.id!)!;
      // a column in which a third of the patients share a few values
      const shared = into("patients", neutral[2]);
      const few = [shared(), shared(), shared()];
      patients.forEach((row, i) => row[neutral[2]] = few[i % 9] ?? shared());
      // single cells of columns of numbers, of codes and of visits
      const hosts = [
        ["patients", ["lvef", "egfr", "pasp"]],
        ["patients", ["aetiology", "urgency", "sex", "ring_type"]],
        ["visits", ["lvedd", "gradient", "reason"]],
      ] as const;
      for (const [table, names] of hosts) {
        const column = names[random.integer(names.length)]!;
        const next = into(table, column);
        const rows = table === "patients" ? patients : visits;
        for (let k = 0; k < 3; k++) rows[(7 * k + 3) % rows.length]![column] = next();
      }
      return { name: `${what}, ${language}`, patients, visits, plants };
    })
  );
}

const csv = (rows: Row[]) => {
  const columns = [...new Set(rows.flatMap((row) => Object.keys(row)))];
  return stringify(rows, { header: true, columns });
};
const comparable = (text: string) => text.normalize("NFKC").toLowerCase();

const every = plantedFiles();

Deno.test("deidentify() lets none of 480 plants in 20 classes and 4 languages into its copy", async () => {
  assert.equal(every.flatMap(({ plants }) => plants).length, 480);
  const leaks: string[] = [];
  let written = 0;
  for (const { name, patients, visits, plants } of every) {
    const folder = await Deno.makeTempDir();
    try {
      await Deno.writeTextFile(join(folder, "raw.csv"), csv(patients));
      await Deno.writeTextFile(join(folder, "echo.csv"), csv(visits));
      const out = join(folder, "clean");
      const files = { cohort: join(folder, "raw.csv"), visits: join(folder, "echo.csv") };
      const more = { key: join(folder, "key"), dates: "day-first" as const };
      const record = await deidentify({ ...files, ...more, out }).catch((error) => {
        // dates without a day of operation to count from: refusing is safe, too
        if (error instanceof ProblemsError) return null;
        throw error;
      });
      if (!record) continue;
      written++;
      const texts = await Promise.all(
        ["patients.csv", "echo-visits.csv", "record.json"].map((file) =>
          Deno.readTextFile(join(out, file))
        ),
      );
      const cells = new Set(comparable(texts.join("\n")).split(/[,\n"]/));
      for (const { column, values } of plants) {
        if (values.some((value) => cells.has(comparable(value)))) leaks.push(`${name}, ${column}`);
      }
    } finally {
      await Deno.remove(folder, { recursive: true });
    }
  }
  assert.deepEqual(leaks, []);
  assert.ok(written >= 60, `${written} copies were written`);
});

Deno.test("a study's check finds each of 480 plants, though its file ignores their columns", async () => {
  const ignore = { ignore: "not used" };
  const mapping = {
    patients: { [neutral[0]]: ignore, [neutral[2]]: ignore },
    visits: { [neutral[1]]: ignore },
  };
  const missed: string[] = [];
  for (const { name, patients, visits, plants } of every) {
    const folder = await Deno.makeTempDir();
    try {
      const study = smallStudy({ mapping }, join(folder, "study.json"));
      await Deno.writeTextFile(study.cohortPath, csv(patients));
      await Deno.writeTextFile(study.visitsPath, csv(visits));
      const { problems } = await examineCohort(study);
      for (const plant of plants) {
        // in a column of numbers a number within its range is a number
        if (name.startsWith("latitude") && /lvef|egfr|pasp|lvedd/.test(plant.column)) continue;
        const found = problems.some(({ severity, table, column }) =>
          severity !== "warning" && table === plant.table && column === plant.column
        );
        if (!found) missed.push(`${name}, ${plant.column}`);
      }
    } finally {
      await Deno.remove(folder, { recursive: true });
    }
  }
  assert.deepEqual(missed, []);
});
