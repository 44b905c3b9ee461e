import { fromInputs, type KeptFiles } from "../kept/mod.ts";
import type { RunPaths } from "../../study/file/mod.ts";
import { sandboxCommand, type SandboxOptions } from "../sandbox/mod.ts";

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

/**
 * The list kept from a run over the same study and tables, or made anew; of a cohort that cannot be
 * read nothing is kept. Like the report's own copy it is for the group alone.
 *
 * @param inputs What it follows from: the files that are read, with their hashes.
 */
export async function keptList(
  kept: KeptFiles,
  inputs: readonly { role: string; sha256: string }[],
  make: () => Promise<string | undefined>,
): Promise<string | undefined> {
  const bytes = await kept.get("excluded.csv", fromInputs(inputs), async () => {
    const list = await make();
    return list === undefined ? undefined : new TextEncoder().encode(list);
  });
  return bytes && new TextDecoder().decode(bytes);
}

const unreadable = 3;
