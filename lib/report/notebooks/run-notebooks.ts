import { notebookModule } from "./module.ts";
import { describeFailure, type Notebook, type NotebookFailure } from "./notebook.ts";
import { join } from "./paths.ts";
import type { Progress } from "./progress.ts";
import { type NotebookRun, notRun, runNotebook } from "./run-notebook.ts";
import type { RunPaths } from "../../study/file/mod.ts";
import type { SandboxOptions } from "./sandbox.ts";
import { type ModuleFile, typeCheck } from "./type-check.ts";

/** How to run a set of notebooks. */
export interface RunAllOptions {
  files: RunPaths;
  sandbox: SandboxOptions;
  /** Where the modules are written: the same folder each time, so that checks are remembered. */
  workFolder: string;
  /** Notebooks at a time; default, one for each core. */
  atOnce?: number;
  /** Seconds a notebook may take. */
  timeLimit?: number;
  /** Draws each figure a second time at this width, for print. */
  wideWidth?: number;
  progress?: Progress;
}

/**
 * Checks all notebooks in one pass, then runs those that passed side by side.
 *
 * @returns One run a notebook, in the order given, whatever order they end in.
 */
export async function runNotebooks(
  notebooks: readonly Notebook[],
  options: RunAllOptions,
): Promise<NotebookRun[]> {
  const { workFolder, progress } = options;
  const failures = new Map<string, NotebookFailure>();
  const files = new Map<string, ModuleFile>();
  await Deno.mkdir(workFolder, { recursive: true });
  for (const notebook of notebooks) {
    const result = notebookModule(notebook);
    if ("failure" in result) {
      failures.set(notebook.id, result.failure);
      continue;
    }
    const path = join(workFolder, `${notebook.id}.ts`);
    await writeIfChanged(path, result.module.source);
    files.set(notebook.id, { module: result.module, path });
  }
  for (const failure of await typeCheck([...files.values()], workFolder)) {
    failures.set(failure.notebook, failure);
  }
  progress?.step(`${notebooks.length} notebooks checked`);
  const runs = new Map<string, NotebookRun>();
  const queue = [...notebooks];
  const work = async () => {
    for (let notebook = queue.shift(); notebook; notebook = queue.shift()) {
      const { id } = notebook;
      const failure = failures.get(id);
      const file = files.get(id);
      const run = failure || !file
        ? notRun(notebook, failure ?? missing(id))
        : await runNotebook(notebook, file, {
          files: options.files,
          sandbox: options.sandbox,
          timeLimit: options.timeLimit,
          wideWidth: options.wideWidth,
          onCell: (cell) => progress?.cell(id, { cell, of: file.module.cellCount }),
        });
      runs.set(id, run);
      progress?.done(
        id,
        run.failure
          ? `FAILED  ${describeFailure(run.failure).split("\n")[0]}`
          : `done in ${run.seconds.total.toFixed(1)} s`,
      );
    }
  };
  const atOnce = Math.max(1, options.atOnce ?? navigator.hardwareConcurrency);
  await Promise.all(Array.from({ length: Math.min(atOnce, notebooks.length) }, work));
  return notebooks.map(({ id }) => runs.get(id)).filter((run) => run !== undefined);
}

function missing(notebook: string): NotebookFailure {
  return { notebook, stage: "syntax", message: "no module was made from it" };
}

async function writeIfChanged(path: string, text: string): Promise<void> {
  const before = await Deno.readTextFile(path).catch(() => undefined);
  if (before !== text) await Deno.writeTextFile(path, text);
}
