import { stringify } from "csv-stringify/sync";
import { parse } from "csv-parse/sync";
import { join } from "node:path";
import type { DeidentifyOptions } from "../../lib/cohort/deidentify/deidentify.ts";
import { simulateCohort } from "../../lib/simulate/rows/simulate-cohort.ts";

export type Row = Record<string, string | number>;

// Invented: the simulated cohort, with everything a hospital would add.
export const cohort = simulateCohort({ seed: 5, n: 120 });
export const number = new Map(cohort.patients.map(({ id }, i) => [id, `MRN${480_017 + 37 * i}`]));
export const dayOfOperation = (i: number) => Date.UTC(2012, 0, 5 + 23 * i);
const written = (time: number) => {
  const date = new Date(time);
  return `${date.getUTCDate()}/${date.getUTCMonth() + 1}/${date.getUTCFullYear()}`;
};
export const days = 86_400_000;
const surgeonNames = ["Dr Arthwick", "Dr Belmund", "Dr Corquist"];

export const patients: Row[] = cohort.patients.map((patient, i) => {
  const { id, age, op_year: _, surgeon: __, fu_days, ...rest } = patient;
  const operation = dayOfOperation(i);
  return {
    Hospital: number.get(id) ?? "",
    "Patient name": `Thorn${"abcdefgh"[i % 8]}wick, Ar${i}`,
    "Date of birth": written(operation - 365.25 * (i === 7 ? 97 : age) * days - 40 * days),
    "Date of surgery": written(operation),
    Surgeon: surgeonNames[i % 3]!,
    "Last seen": written(operation + fu_days * days),
    Remarks: `seen by the ward sister on round ${i}, wants to be called`,
    ...rest,
    lvef: i === 3 ? "+44 20 7946 0018" : patient.lvef,
  };
});
export const visits: Row[] = cohort.visits.map(({ id, day, ...rest }) => ({
  Hospital: number.get(id) ?? "",
  "Echo date": written(
    dayOfOperation(cohort.patients.findIndex((one) => one.id === id)) + day * days,
  ),
  ...rest,
}));

export async function inFolder(
  work: (folder: string, options: DeidentifyOptions) => Promise<void>,
) {
  const folder = await Deno.makeTempDir();
  try {
    await Deno.writeTextFile(join(folder, "raw.csv"), stringify(patients, { header: true }));
    await Deno.writeTextFile(join(folder, "echo.csv"), stringify(visits, { header: true }));
    await work(folder, {
      cohort: join(folder, "raw.csv"),
      visits: join(folder, "echo.csv"),
      out: join(folder, "clean"),
      key: join(folder, "secret.key"),
      id: "Hospital",
    });
  } finally {
    await Deno.remove(folder, { recursive: true });
  }
}

export const rowsOf = async (path: string): Promise<Record<string, string>[]> =>
  parse(await Deno.readTextFile(path), { columns: true });
