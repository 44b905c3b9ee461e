import process from "node:process";
import { join, resolve } from "node:path";

/** Where Deno keeps what programs store, below its own folder. */
const stored = "location_data";

/**
 * A Deno folder for one process: everything in the user's own is linked to, so that nothing is
 * fetched or compiled anew, but for what programs store there (storage, caches), which begins empty
 * and goes with the folder.
 *
 * @param folder Where it is made.
 * @returns undefined where this system has no such folder or cannot link to it.
 */
export async function throwawayCache(folder: string): Promise<string | undefined> {
  const own = denoFolder();
  if (own === undefined) return undefined;
  try {
    const names = [...Deno.readDirSync(own)].map(({ name }) => name);
    await Deno.mkdir(folder, { recursive: true, mode: 0o700 });
    for (const name of names) {
      if (name !== stored) await Deno.symlink(join(own, name), join(folder, name));
    }
    return folder;
  } catch {
    return undefined;
  }
}

/** Where Deno keeps packages, compiled modules and what programs store. */
export function denoFolder(): string | undefined {
  const { env } = Deno;
  const named = env.get("DENO_DIR");
  if (named) return resolve(named);
  const home = env.get("HOME");
  const below = process.platform === "win32"
    ? env.get("LOCALAPPDATA")
    : process.platform === "darwin"
    ? home && join(home, "Library", "Caches")
    : env.get("XDG_CACHE_HOME") || (home && join(home, ".cache"));
  return below ? join(below, "deno") : undefined;
}
