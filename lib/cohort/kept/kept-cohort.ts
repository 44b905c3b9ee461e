import { runPaths, type Study } from "../../study/file/mod.ts";
import type { Cohort } from "../model/mod.ts";
import type { PackedSource } from "../../numerics/mod.ts";
import { cohortFrom } from "./cohort-bytes.ts";

/**
 * The cohort as a run has read and checked it once for all of its processes; `undefined` where
 * there is no run, it could not be read, or the study is not the run's own.
 */
export async function keptCohort(study: Study): Promise<Cohort | undefined> {
  const { columns, cohort, visits } = runPaths();
  if (columns === undefined) return undefined;
  if (study.cohortPath !== cohort || study.visitsPath !== visits) return undefined;
  const source = await fileSource(columns).catch(() => undefined);
  return source && cohortFrom(source, study);
}

/** Packed columns in a file that stays as it is as long as the run does. */
async function fileSource(path: string): Promise<PackedSource> {
  const { size } = await Deno.stat(path);
  return {
    length: size,
    read: (at, length) => {
      using file = Deno.openSync(path);
      file.seekSync(at, Deno.SeekMode.Start);
      const bytes = new Uint8Array(length);
      for (let done = 0; done < length;) {
        const read = file.readSync(bytes.subarray(done));
        if (read === null) return bytes.subarray(0, done);
        done += read;
      }
      return bytes;
    },
  };
}
