import { join } from "node:path";
import { type BuildOptions, buildReport, type BuiltReport } from "../../lib/report/build-report.ts";
import { type CellSource, makeNotebook } from "./notebooks/make-notebook.ts";

/** A study with two nearly empty tables and a folder of notebooks, in a folder of its own. */
export interface Workspace {
  folder: string;
  study: string;
  notebooks: string;
  out: string;
}

/**
 * Writes a workspace and removes it afterwards. The plan is the demonstration's, its title replaced
 * by one that must be escaped.
 */
export async function withWorkspace(
  notebooks: Record<string, readonly CellSource[]>,
  use: (workspace: Workspace) => Promise<void>,
): Promise<void> {
  const folder = await Deno.makeTempDir({ prefix: "mitral-test-" });
  try {
    const plan = JSON.parse(
      await Deno.readTextFile(new URL("../../data-demo/study.json", import.meta.url)),
    );
    plan.title = 'Title <img src=x onerror="1"> & more';
    delete plan.files.lifeTable;
    const study = join(folder, "study.json");
    await Deno.writeTextFile(study, JSON.stringify(plan));
    await Deno.writeTextFile(join(folder, plan.files.cohort), "id,age\n1,60\n");
    await Deno.writeTextFile(join(folder, plan.files.visits), "id,day\n1,9\n");
    const notebookFolder = join(folder, "notebooks");
    await Deno.mkdir(notebookFolder);
    for (const [id, cells] of Object.entries(notebooks)) {
      await Deno.writeTextFile(join(notebookFolder, `${id}.ipynb`), makeNotebook(cells));
    }
    await use({ folder, study, notebooks: notebookFolder, out: join(folder, "out") });
  } finally {
    await Deno.remove(folder, { recursive: true });
  }
}

/**
 * Builds a report without checking its notebooks' types: nine of ten seconds of a small report.
 * Where a test is about types, it calls `buildReport()` itself.
 */
export function quickReport(options: BuildOptions): Promise<BuiltReport> {
  return buildReport({ ...options, typeCheck: false });
}

/** Text of every file below a folder but hidden ones, by path, in order of path. */
export async function filesBelow(folder: string): Promise<Map<string, string>> {
  const found: [string, string][] = [];
  for await (const { name, isDirectory } of Deno.readDir(folder)) {
    if (name.startsWith(".")) continue;
    const path = join(folder, name);
    if (isDirectory) {
      for (const [inner, text] of await filesBelow(path)) found.push([`${name}/${inner}`, text]);
    } else found.push([name, await Deno.readTextFile(path)]);
  }
  return new Map(found.sort(([a], [b]) => (a < b ? -1 : 1)));
}
