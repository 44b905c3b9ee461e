import { stringify } from "csv-stringify/sync";
import { parsePlan, type Plan, type Study, studyOf } from "../../lib/study/mod.ts";
import { type Analysis, type Cohort, readCohort, selectEligible } from "../../lib/cohort/mod.ts";

/** One row, by column; what is left out takes the value of an unremarkable patient. */
export type Row = Record<string, string | number>;

/** A degenerative valve repaired, five years followed, alive. Invented. */
const unremarkable: Row = {
  id: "P001",
  op_year: 2012,
  case_seq: 1,
  age: 60,
  sex: "F",
  nyha: 2,
  af_pre: "none",
  diabetes: 0,
  prior_mi: 0,
  redo: 0,
  urgency: "elective",
  ie_active: 0,
  aetiology: "degenerative",
  leaflet: "posterior",
  mr_pre: 4,
  lvef: 60,
  lvedd: 55,
  lvesd: 35,
  tether: "",
  ipmd: "",
  ipmd_phase: "",
  approach: "sternotomy",
  intended: "repair",
  final: "repair",
  convert_reason: "",
  ring_type: "rigid",
  ring_mm: 30,
  prosthesis: "",
  chordal_sparing: "",
  cabg_grafts: 0,
  af_ablation: 0,
  tricuspid: "none",
  mr_exit: 0,
  fu_days: 1826,
  dead: 0,
  death_cause: "",
  reint: 0,
  reint_day: "",
  reint_reason: "",
};

/** What makes the unremarkable patient one with a planned replacement. */
export const replaced: Row = {
  intended: "replacement",
  final: "replacement",
  ring_type: "",
  ring_mm: "",
  prosthesis: "bioprosthesis",
  chordal_sparing: "complete",
};

/** The least a plan must say. */
export const smallPlan = {
  name: "small",
  title: "A small cohort",
  question: "Does it hold together?",
  centre: "Centre A (invented)",
  files: { cohort: "patients.csv", visits: "visits.csv" },
  timeZero: { label: "operation", closingYear: 2024.5 },
  eligibility: [] as unknown[],
  groups: { by: "intended", repair: "Repair", replacement: "Replacement" },
  estimand: "overlap",
  adjustment: { covariates: [{ column: "age", form: "linear" }] },
  endpoints: [
    { id: "death", label: "Death" },
    { id: "recurrence", label: "Recurrence", competing: ["death", "reintervention"] },
  ],
  horizons: [1, 5],
  mainHorizon: 5,
  smallestDifference: { value: 0.05, source: "invented" },
  restrictedMeanHorizon: 5,
  seed: 1,
};

/** Rows of patients, each unlike the unremarkable patient only where it says so. */
export function patientsOf(rows: Row[]): Row[] {
  return rows.map((row, i) => ({
    ...unremarkable,
    id: `P${String(i + 1).padStart(4, "0")}`,
    case_seq: i + 1,
    ...row,
  }));
}

/** A table as CSV, its columns those of any row unless named. */
export function csvOf(
  rows: Row[],
  header: string[] = [...new Set(rows.flatMap((row) => Object.keys(row)))],
): string {
  return stringify([header, ...rows.map((row) => header.map((name) => row[name] ?? ""))]);
}

/** A study on the demonstration's plan-in-small, with the parts given in place of its own. */
export function smallStudy(changes: Record<string, unknown> = {}, path = "study.json"): Study {
  const plan: Plan = parsePlan({ ...smallPlan, ...changes });
  return studyOf(plan, path);
}

/** Writes two files, reads them as a cohort, and removes them. */
export async function readText(
  patients: string | Uint8Array,
  visits: string,
  changes: Record<string, unknown> = {},
): Promise<{ cohort: Cohort; study: Study }> {
  const folder = await Deno.makeTempDir();
  try {
    const study = smallStudy(changes, `${folder}/study.json`);
    const bytes = typeof patients === "string" ? new TextEncoder().encode(patients) : patients;
    await Deno.writeFile(study.cohortPath, bytes);
    await Deno.writeTextFile(study.visitsPath, visits);
    return { cohort: await readCohort(study), study };
  } finally {
    await Deno.remove(folder, { recursive: true });
  }
}

/** Reads rows as a cohort. Visits need id, day and mr. */
export function readRows(
  patients: Row[],
  visits: Row[] = [],
  changes: Record<string, unknown> = {},
): Promise<{ cohort: Cohort; study: Study }> {
  const header = ["id", "day", "mr", "lvef", "lvedd", "lvesd", "gradient", "reason"];
  return readText(csvOf(patientsOf(patients)), csvOf(visits, header), changes);
}

/** Reads rows and selects by the plan. */
export async function analyse(
  patients: Row[],
  visits: Row[] = [],
  changes: Record<string, unknown> = {},
): Promise<Analysis> {
  const { cohort, study } = await readRows(patients, visits, changes);
  return selectEligible(cohort, study);
}

/** Changes to a plan that make it adjust for these covariates. */
export const planned = (...covariates: Record<string, unknown>[]) => ({
  adjustment: { covariates },
});
