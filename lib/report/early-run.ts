import { join } from "node:path";
import { type ClaimedOutput, claimOutput, folderOf } from "./claim/mod.ts";
import {
  demoStudy,
  ownFiles,
  Processes,
  type ProcessPlaces,
  projectFolder,
  readableOfProject,
} from "./sandbox/mod.ts";

/** Which report is begun; see `BuildOptions`. */
export interface EarlyOptions {
  study?: string;
  notebooks?: string;
  out?: string;
  preview?: boolean;
}

/** A folder that is claimed for a run, and a notebook's process that loads the library. */
export interface EarlyRun {
  /** The folder as it was chosen. */
  chosen: string;
  claimed: ClaimedOutput;
  processes: Processes;
}

/**
 * Claims a report's folder and starts a process for a notebook, of which nobody knows yet which it
 * will be: the process loads the library while this one loads what writes reports.
 *
 * @returns Nothing where it cannot be told at once where the report goes and what its notebooks may
 * read; what is wrong then is found out with the run.
 */
export async function startEarly(options: EarlyOptions): Promise<EarlyRun | undefined> {
  const { study = demoStudy, notebooks, out, preview = false } = options;
  const plan = await quickly(study);
  if (notebooks !== undefined || plan === undefined || plan.notebooks !== undefined) {
    return undefined;
  }
  const chosen = out ?? folderOf(plan.name, preview);
  const claimed = await claimOutput(chosen).catch(() => undefined);
  if (!claimed) return undefined;
  const { work } = claimed;
  const processes = new Processes(processPlaces(work, [join(projectFolder, "notebooks")]));
  try {
    await Deno.mkdir(processes.places.nowhere);
    await processes.startSpare(ownFiles(join(work, "modules", "early")));
    return { chosen, claimed, processes };
  } catch {
    await processes.close();
    await claimed.release();
    return undefined;
  }
}

/** What notebooks' processes may read, and where they stand. */
export function processPlaces(work: string, folders: readonly string[]): ProcessPlaces {
  return {
    read: [...readableOfProject, ...folders, join(work, "inputs")],
    nowhere: join(work, "nowhere"),
    caches: join(work, "caches"),
  };
}

/** A study file's name and notebooks, unchecked. A pipe can be read only once, by the run. */
async function quickly(path: string): Promise<{ name: string; notebooks?: unknown } | undefined> {
  try {
    if (!(await Deno.stat(path)).isFile) return undefined;
    const { name, notebooks } = JSON.parse(await Deno.readTextFile(path));
    return isFolderName.test(name) ? { name, notebooks } : undefined;
  } catch {
    return undefined;
  }
}

/** Where a name is none, the run says so. */
const isFolderName = /^[a-z0-9]+([-.][a-z0-9]+)*$/;
