import type { RunPaths } from "../../study/file/mod.ts";
import { sandboxCommand, type SandboxOptions } from "../sandbox/mod.ts";

/** Files that are made for a run before its notebooks, of row-level data. */
export type Prepared = "columns" | "completed";

/**
 * Reads and checks a run's two tables once, in columns, and makes its completed sets once, where
 * they are wanted, and writes them where every notebook of the run finds them. They are row-level
 * data and stay in the run's private folder.
 *
 * What cannot be made has no file; the notebooks, which then try for themselves, say why.
 */
export async function prepare(
  files: RunPaths & Record<Prepared, string>,
  wanted: readonly Prepared[],
  sandbox: Pick<SandboxOptions, "read" | "folder">,
): Promise<void> {
  const sizes = [files.cohort, files.visits].map(async (path) =>
    path === undefined ? 0 : (await Deno.stat(path)).size
  );
  const size = (await Promise.all(sizes)).reduce((sum, one) => sum + one, 0);
  // one process starts sooner than two; of a large cohort the second begins with memory of its own
  const parts = size < large ? [wanted] : wanted.map((one) => [one]);
  for (const part of parts) await prepareIn(files, part, { ...sandbox, large: size >= large });
}

async function prepareIn(
  files: RunPaths & Record<Prepared, string>,
  wanted: readonly Prepared[],
  { large, ...sandbox }: Pick<SandboxOptions, "read" | "folder"> & { large: boolean },
): Promise<void> {
  // of many rows memory comes before time: cells are forgotten as soon as they are read
  const sparing = large && wanted.includes("columns")
    ? ["--optimize-for-size", "--max-semi-space-size=4"]
    : [];
  const { stdout } = await sandboxCommand(
    new URL("./prepare-child.ts", import.meta.url),
    [JSON.stringify(files), ...wanted],
    {
      ...sandbox,
      write: wanted.map((name) => files[name]),
      engine: ["--expose-gc", ...sparing],
    },
  ).output();
  const whole = new TextDecoder().decode(stdout).split("\n");
  for (const name of wanted) {
    if (!whole.includes(name)) await Deno.remove(files[name]).catch(() => {});
  }
}

/** Bytes of both tables past which memory matters more than a process more. */
const large = 50e6;
