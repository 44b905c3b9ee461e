import { selectEligible } from "../../cohort/analysis/mod.ts";
import { readCohort } from "../../cohort/mod.ts";
import { runChains } from "../../missing/chain/mod.ts";
import { openAnalysis } from "../../missing/open/mod.ts";
import { chainText, chainWorkOf } from "../../missing/study/mod.ts";
import { DataError } from "../../numerics/mod.ts";
import {
  jobKey,
  rangeOfPart,
  replicatesOfPart,
  replicatesText,
} from "../../sensitivity/bootstrap/mod.ts";
import type { Study } from "../../study/file/mod.ts";
import { repeatedJobs } from "../checks/mod.ts";
import type { Part, PartKind } from "./part-file.ts";

/** How a part is worked out. */
export interface PartOptions {
  workers: number;
  onProgress?: (what: string) => (done: number, all: number) => void;
}

/**
 * The lines of one part: what the whole has in its places, to the last bit. Everything else, such
 * as completed sets under limits, is that of the run (see `openAnalysis`).
 *
 * @throws {DataError} where the plan asks for nothing of the kind.
 */
export function linesOfPart(
  study: Study,
  kind: PartKind,
  place: Pick<Part, "part" | "of">,
  options: PartOptions,
): Promise<string[]> {
  return kind === "sets" ? setLines(study, place, options) : limitLines(place, options);
}

async function setLines(
  study: Study,
  place: Pick<Part, "part" | "of">,
  { workers, onProgress }: PartOptions,
): Promise<string[]> {
  if (study.missing.method !== "impute") {
    throw new DataError("missing.method", "impute, for there to be sets", study.missing.method);
  }
  const { work, sets } = chainWorkOf(selectEligible(await readCohort(study), study), study);
  const { from, to } = rangeOfPart(sets, place);
  const own = Array.from({ length: to - from }, (_, k) => from + k);
  const chains = await runChains(work, own, {
    workers,
    ...(onProgress && { onProgress: onProgress("Completed sets") }),
  });
  return chains.map(chainText);
}

async function limitLines(
  place: Pick<Part, "part" | "of">,
  { workers, onProgress }: PartOptions,
): Promise<string[]> {
  const { analysis, study } = await openAnalysis();
  const jobs = await repeatedJobs(analysis);
  if (jobs.length === 0) {
    throw new DataError("bootstrap.replicates", "above 0", study.bootstrap.replicates);
  }
  const lines: string[] = [];
  for (const [index, job] of jobs.entries()) {
    const values = await replicatesOfPart(job, place, {
      workers,
      ...(onProgress && {
        onProgress: onProgress(`Replicates, comparison ${index + 1} of ${jobs.length}`),
      }),
    });
    lines.push(replicatesText([{ key: jobKey(job), values }]).trimEnd());
  }
  return lines;
}
