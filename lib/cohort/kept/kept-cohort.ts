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
  const bytes = await wholeFile(columns).catch(() => undefined);
  return bytes && cohortFrom(bytes, study);
}

/** All of a file, in one buffer of its size. */
async function wholeFile(path: string): Promise<Uint8Array<ArrayBuffer>> {
  using file = await Deno.open(path);
  const bytes = new Uint8Array((await file.stat()).size);
  for (let at = 0; at < bytes.length;) {
    const read = await file.read(bytes.subarray(at, at + atOnce));
    if (read === null) return bytes.subarray(0, at);
    at += read;
  }
  return bytes;
}

const atOnce = 2 ** 20;
