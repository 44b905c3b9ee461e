import type { RunPaths } from "../../study/file/mod.ts";
import { sandboxCommand, type SandboxOptions } from "../guest/mod.ts";

/**
 * Makes a run's completed sets once, where its plan has missing covariates imputed, and writes them
 * where every notebook of the run finds them. They are row-level data and stay in the run's private
 * folder.
 *
 * Where they cannot be made there is no file; the notebooks, which then try for themselves, say why.
 */
export async function writeCompletedSets(
  files: RunPaths & { completed: string },
  sandbox: Pick<SandboxOptions, "read" | "folder">,
): Promise<void> {
  const { completed: path, ...inputs } = files;
  const { code, stdout } = await sandboxCommand(
    new URL("./completed-child.ts", import.meta.url),
    [JSON.stringify(inputs)],
    sandbox,
  ).output();
  if (code === 0) await Deno.writeFile(path, stdout, { mode: 0o600 });
}
