import type { RunPaths } from "../../study/file/mod.ts";
import { sandboxCommand, type SandboxOptions } from "../guest/mod.ts";

/**
 * The list of patients left out, as CSV: pseudonym, row in the patients table, step of the flow,
 * reason, and what was found where that is the reason. It is row-level data, for the group alone.
 *
 * @returns undefined where the cohort cannot be read; the notebooks, which read it too, say why.
 * @throws {Error} Where the list cannot be made, or does not add up to the flow.
 */
export async function excludedList(
  files: RunPaths,
  sandbox: Pick<SandboxOptions, "read" | "folder">,
): Promise<string | undefined> {
  const { code, stdout, stderr } = await sandboxCommand(
    new URL("./excluded-child.ts", import.meta.url),
    [JSON.stringify(files)],
    sandbox,
  ).output();
  if (code === unreadable) return undefined;
  if (code === 0) return new TextDecoder().decode(stdout);
  throw new Error(`Cannot list who was left out: ${new TextDecoder().decode(stderr).trim()}`);
}

const unreadable = 3;
