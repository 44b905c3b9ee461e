import { join, toFileUrl } from "../notebooks/mod.ts";
import { projectFolder } from "../guest/mod.ts";
import { sha256 } from "../snapshot/mod.ts";
import {
  compilerSettings,
  declaredIn,
  entries,
  makeDeclarations,
  makeFolders,
} from "./make-declarations.ts";

/** From what declarations follow, and whether they may be made. */
export interface LibraryTypesOptions {
  /** Hash of the library and the project's settings. */
  library: string;
  /** Hash of the packages. */
  lock: string;
  /** Makes them where they are not there: the compiler takes some ten seconds. */
  make: boolean;
  /** Told when they were made. */
  made?: () => void;
}

/**
 * Settings with which the compiler finds the library's declared types where notebooks import the
 * library. It reads a third of what the code itself would have it read.
 *
 * They lie in `out/.library`, for all runs of the same library; those of another one are removed.
 *
 * @returns Path of the settings; undefined where there are no declarations and none are made.
 */
export async function libraryTypes(
  { library, lock, make, made }: LibraryTypesOptions,
): Promise<string | undefined> {
  const all = join(projectFolder, "out", ".library");
  const name = sha256([format, Deno.version.deno, library, lock].join("\n")).slice(0, 32);
  const settings = join(all, name, "deno.json");
  if (await Deno.stat(settings).then(() => true, () => false)) return settings;
  if (!make) return undefined;
  let work: string | undefined;
  try {
    await Deno.mkdir(all, { recursive: true });
    work = await Deno.makeTempDir({ dir: all });
    const texts = await makeDeclarations(join(work, "project"));
    if (!texts) return undefined;
    const types = join(work, "types");
    await write(types, texts);
    for (const older of Deno.readDirSync(all)) {
      const path = join(all, older.name);
      if (path !== work) await Deno.remove(path, { recursive: true });
    }
    await Deno.rename(types, join(all, name));
    made?.();
    return settings;
  } catch {
    return undefined; // a folder that cannot be written to, or another run that was first
  } finally {
    if (work) await Deno.remove(work, { recursive: true }).catch(() => {});
  }
}

/** Counts up whenever what lies there changes. */
const format = "library types 1";

async function write(folder: string, texts: ReadonlyMap<string, string>): Promise<void> {
  await makeFolders(folder, texts.keys());
  for (const [path, text] of texts) await Deno.writeTextFile(join(folder, path), text);
  const { imports, ...settings } = await compilerSettings();
  const config = {
    ...settings,
    imports: {
      ...imports,
      mitral: `./${declaredIn(entries.library)}`,
      [toFileUrl(join(projectFolder, entries.runtime)).href]: `./${declaredIn(entries.runtime)}`,
    },
  };
  // packages are those of the project
  await Deno.copyFile(join(projectFolder, "package.json"), join(folder, "package.json"));
  await Deno.writeTextFile(join(folder, "deno.json"), JSON.stringify(config));
}
