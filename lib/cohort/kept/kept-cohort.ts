import { runPaths, type Study } from "../../study/file/mod.ts";
import type { Cohort } from "../model/mod.ts";
import { cohortFrom } from "./cohort-bytes.ts";

/**
 * The cohort as a run has read and checked it once for all of its processes; `undefined` where
 * there is no run, it could not be read, or the study is not the run's own.
 */
export async function keptCohort(study: Study): Promise<Cohort | undefined> {
  const { columns, cohort, visits } = runPaths();
  if (columns === undefined) return undefined;
  if (study.cohortPath !== cohort || study.visitsPath !== visits) return undefined;
  const bytes = await Deno.readFile(columns).catch(() => undefined);
  return bytes && cohortFrom(bytes, study);
}
