import type { RunPaths } from "../../study/file/mod.ts";
import { sandboxCommand, type SandboxOptions } from "../guest/mod.ts";

type Sandbox = Pick<SandboxOptions, "read" | "folder" | "engine">;

/**
 * Reads and checks a run's two tables once, and writes them in columns where every notebook of the
 * run finds them. They are row-level data and stay in the run's private folder.
 *
 * Where they cannot be read there is no file; the notebooks, which then try for
 * themselves, say why.
 */
export async function writeColumns(
  files: RunPaths & { columns: string },
  sandbox: Sandbox,
): Promise<void> {
  const { columns, completed: _, ...inputs } = files;
  await write(new URL("./columns-child.ts", import.meta.url), inputs, columns, {
    ...sandbox,
    // memory before time: cells are forgotten as soon as they are read
    engine: ["--optimize-for-size", "--max-semi-space-size=4"],
  });
}

/**
 * Makes a run's completed sets once, where its plan has missing covariates imputed, and writes them
 * where every notebook of the run finds them, as {@link writeColumns} does.
 */
export async function writeCompletedSets(
  files: RunPaths & { completed: string },
  sandbox: Sandbox,
): Promise<void> {
  const { completed, ...inputs } = files;
  await write(new URL("./completed-child.ts", import.meta.url), inputs, completed, {
    ...sandbox,
    engine: ["--expose-gc"],
  });
}

/**
 * What a child prints, as a file that its owner alone may read; none where it does not end well.
 */
async function write(
  script: URL,
  inputs: RunPaths,
  path: string,
  sandbox: Sandbox,
): Promise<void> {
  const child = sandboxCommand(script, [JSON.stringify(inputs)], sandbox).spawn();
  const file = await Deno.open(path, { write: true, createNew: true, mode: 0o600 });
  await Promise.all([child.stdout.pipeTo(file.writable), child.stderr.cancel()]);
  const { success } = await child.status;
  if (!success) await Deno.remove(path);
}
