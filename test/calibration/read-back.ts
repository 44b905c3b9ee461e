import { join } from "node:path";
import * as mitral from "mitral";
import { cohortFiles } from "../../lib/simulate/rows/cohort-files.ts";
import type { SimulatedCohort } from "../../lib/simulate/rows/simulate-cohort.ts";

/** Writes a cohort as a centre would hand it over and reads it as a notebook does. */
export async function readBack(simulated: SimulatedCohort): Promise<mitral.Analysis> {
  const folder = await Deno.makeTempDir();
  try {
    const demo = new URL("../../data-demo/study.json", import.meta.url);
    await Deno.copyFile(demo, join(folder, "study.json"));
    for (const [name, text] of Object.entries(cohortFiles(simulated))) {
      await Deno.writeTextFile(join(folder, name), text);
    }
    const study = await mitral.openStudy(join(folder, "study.json"));
    return mitral.selectEligible(await mitral.readCohort(study), study);
  } finally {
    await Deno.remove(folder, { recursive: true });
  }
}
