import type { Study } from "../../study/file/mod.ts";
import { type ProblemLine, ProblemsError } from "../../study/problems/mod.ts";
import { projectFolder } from "../sandbox/mod.ts";
import { relative } from "node:path";
import { basename, dirname, join, type Notebook, resolve, toFileUrl } from "../notebooks/mod.ts";
import { messageOf } from "../../study/command-line/mod.ts";
import { notebookId, readNotebooks } from "./read-notebooks.ts";

const ending = ".ipynb";
const projectNotebooks = join(projectFolder, "notebooks");

/** Paths of the notebooks in a folder, in the order of their names. */
export async function notebooksIn(folder: string): Promise<string[]> {
  const names: string[] = [];
  try {
    for await (const entry of Deno.readDir(folder)) {
      if (entry.isFile && entry.name.endsWith(ending)) names.push(entry.name);
    }
  } catch (error) {
    throw new Error(`Cannot read the notebooks in ${folder}: ${messageOf(error)}`);
  }
  if (names.length === 0) throw new Error(`Cannot report: there are no notebooks in ${folder}`);
  return names.sort().map((name) => join(folder, name));
}

/**
 * Paths of the notebooks that a study names, in its order: `standard` for all of the project's, the
 * name of one of those, or a file or folder of the study's own, relative to the study file.
 *
 * A notebook may read the folder it lies in. That must not be one with the study's files, which it
 * is to read through its copies alone.
 *
 * @throws {ProblemsError} Naming every entry that is no notebook, cannot be read or comes twice.
 */
export async function notebooksOf(
  study: Pick<Study, "notebooks" | "path" | "cohortPath" | "visitsPath" | "otherPaths">,
): Promise<string[]> {
  const problems: ProblemLine[] = [];
  const paths: string[] = [];
  for (const [place, entry] of study.notebooks.entries()) {
    const where = `notebooks[${place}]`;
    try {
      for (const path of await pathsOf(entry, dirname(study.path))) {
        const what = await problemOf(path, { study, before: paths });
        if (what === undefined) paths.push(path);
        else problems.push({ where, what });
      }
    } catch {
      const what =
        `must be standard, the name of one of the project's notebooks, a file that ends ` +
        `in ${ending}, or a folder with such files that ends in /; found none for "${entry}"`;
      problems.push({ where, what });
    }
  }
  if (problems.length > 0) throw new ProblemsError("find the notebooks", problems);
  return paths;
}

/**
 * Who was studied, balance, survival, reoperation: what shows first whether a file was read right.
 */
const soonestRead = /^0[1235]-/;

/**
 * The notebooks of a preview: the project's shortest, and all that are a study's own; all of them
 * where that leaves none.
 */
export function previewed(notebooks: readonly Notebook[]): readonly Notebook[] {
  const project = toFileUrl(`${projectNotebooks}/`).href;
  const kept = notebooks.filter(({ id, folder }) => folder !== project || soonestRead.test(id));
  return kept.length > 0 ? kept : notebooks;
}

/** What one entry of the study file stands for. */
async function pathsOf(entry: string, folder: string): Promise<string[]> {
  if (entry === "standard") return await notebooksIn(projectNotebooks);
  if (entry.endsWith("/")) return await notebooksIn(resolve(folder, entry));
  const path = entry.endsWith(ending)
    ? resolve(folder, entry)
    : join(projectNotebooks, `${basename(entry)}${ending}`);
  await Deno.stat(path);
  return [path];
}

async function problemOf(
  path: string,
  { study, before }: {
    study: Pick<Study, "path" | "cohortPath" | "visitsPath" | "otherPaths">;
    before: readonly string[];
  },
): Promise<string | undefined> {
  const id = notebookId(path);
  if (!/^[\w-]+$/.test(id)) {
    return `a notebook's name must be of letters, digits, - and _ alone, got "${id}"`;
  }
  if (before.some((other) => notebookId(other) === id)) {
    return `every notebook must have a name of its own, "${id}" comes twice`;
  }
  const within = (file: string) => !relative(dirname(path), file).startsWith("..");
  const { path: file, cohortPath, visitsPath, otherPaths } = study;
  if ([file, cohortPath, visitsPath, ...Object.values(otherPaths)].some(within)) {
    return `must lie in a folder that the study's files are not in, "${id}" may read its own folder`;
  }
  const { failures: [failure] } = await readNotebooks([path]);
  return failure?.message;
}
