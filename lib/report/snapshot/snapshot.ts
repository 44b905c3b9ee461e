import {
  type FileRecord,
  openStudy,
  type RunPaths,
  type Study,
  studyOf,
} from "../../study/file/mod.ts";
import { dirname, join, resolve } from "../notebooks/mod.ts";
import { demoStudy, projectFolder } from "../sandbox/mod.ts";
import { type CopiedInput, copyInput } from "./copy-input.ts";
import { libraryHash } from "./hash.ts";
import { sha256 } from "../../numerics/memory/mod.ts";
import { type NotebooksRead, readNotebooks } from "./read-notebooks.ts";
import { notebooksIn, notebooksOf } from "./which-notebooks.ts";

/**
 * Everything that a run rests on, as it was at one moment. What the notebooks, the list of those
 * left out and the documents read is this and nothing else; a file that changes while a run goes on
 * changes nothing in it.
 */
export interface Snapshot extends NotebooksRead {
  /** The study; its paths are those of the copies. */
  study: Study;
  /** The notebooks' own folders, beside which they may import. */
  folders: readonly string[];
  /** What a notebook's process is told to read: the copies. */
  paths: RunPaths;
  /** Name, size and SHA-256 of the study file and every table it names. */
  files: FileRecord[];
  /** SHA-256 of the library and the project's settings. */
  library: string;
  /** SHA-256 of the file that fixes the packages. */
  lock: string;
}

/** Where a run's inputs lie. */
export interface SnapshotSources extends Pick<RunPaths, "study" | "cohort" | "visits"> {
  /** Folder of notebooks, in place of those that the study names. */
  notebooks?: string;
}

/**
 * Copies the inputs into a folder and hashes them, reads the notebooks and hashes them, and hashes
 * the library.
 *
 * @param folder Private and empty; the copies are the caller's to remove.
 * @throws {ProblemsError} Where an input cannot be read or the study file is none.
 */
export async function takeSnapshot(sources: SnapshotSources, folder: string): Promise<Snapshot> {
  const original = resolve(sources.study ?? demoStudy);
  const plan = await copyInput("study", original, folder);
  // where the plan says that its files are, seen from where it lay
  const named = studyOf(await openStudy(plan.path), original, sources);
  const cohort = await copyInput("cohort", named.cohortPath, folder);
  const visits = await copyInput("visits", named.visitsPath, folder);
  const lifeTable = named.lifeTablePath === undefined
    ? undefined
    : await copyInput("life table", named.lifeTablePath, folder);
  const others: [string, CopiedInput][] = [];
  for (const [name, path] of Object.entries(named.otherPaths)) {
    others.push([name, await copyInput(`table ${name}`, path, folder)]);
  }
  const paths: RunPaths = {
    study: plan.path,
    cohort: cohort.path,
    visits: visits.path,
    ...(lifeTable && { lifeTable: lifeTable.path }),
    ...(others.length > 0 && {
      others: Object.fromEntries(others.map(([name, { path }]) => [name, path])),
    }),
  };
  const notebookPaths = sources.notebooks === undefined
    ? await notebooksOf(named)
    : await notebooksIn(resolve(sources.notebooks));
  const read = await readNotebooks(notebookPaths);
  return {
    ...read,
    folders: [...new Set(notebookPaths.map(dirname))],
    study: studyOf(named, plan.path, paths),
    paths,
    files: [plan, cohort, visits, lifeTable, ...others.map(([, input]) => input)]
      .flatMap((input) => input?.record ?? []),
    library: libraryHash(),
    lock: sha256(await Deno.readFile(join(projectFolder, "deno.lock"))),
  };
}
