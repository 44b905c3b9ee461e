import type { RunPaths } from "../study/open.ts";
import { sandboxCommand, type SandboxOptions } from "./sandbox.ts";

/**
 * The list of patients left out, as CSV: pseudonym, step, reason. It is row-level data, for the
 * group alone.
 *
 * @returns undefined where the cohort cannot be read; the notebooks, which read it too, say why.
 */
export async function excludedList(
  files: RunPaths,
  sandbox: Pick<SandboxOptions, "read">,
): Promise<string | undefined> {
  const { success, stdout } = await sandboxCommand(
    new URL("./excluded-child.ts", import.meta.url),
    [JSON.stringify(files)],
    { read: sandbox.read, write: [] },
  ).output();
  return success ? new TextDecoder().decode(stdout) : undefined;
}
