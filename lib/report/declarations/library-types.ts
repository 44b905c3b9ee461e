import { join, type LibraryTypes } from "../notebooks/mod.ts";
import { version } from "typescript";
import { projectFolder } from "../sandbox/mod.ts";
import { sha256 } from "../../numerics/memory/mod.ts";
import { makeDeclarations } from "./make-declarations.ts";
import { writeTypes } from "./write-types.ts";

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
 * The library's declared types, with settings under which compilers find them where notebooks
 * import the library. They read a third of what the code itself would have them read.
 *
 * They lie in `out/.library`, for all runs of the same library; those of another one are removed.
 *
 * @returns Undefined where there are no declarations and none are made.
 */
export async function libraryTypes(
  { library, lock, make, made }: LibraryTypesOptions,
): Promise<LibraryTypes | undefined> {
  const all = join(projectFolder, "out", ".library");
  const name = sha256([format, Deno.version.deno, version, library, lock].join("\n")).slice(0, 32);
  const places = placesIn(join(all, name));
  if (await Deno.stat(places.deno).then(() => true, () => false)) return places;
  if (!make) return undefined;
  let work: string | undefined;
  try {
    await Deno.mkdir(all, { recursive: true });
    work = await Deno.makeTempDir({ dir: all });
    const texts = await makeDeclarations(join(work, "project"));
    if (!texts) return undefined;
    const types = join(work, "types");
    await writeTypes(types, texts, placesIn(types));
    for (const older of Deno.readDirSync(all)) {
      const path = join(all, older.name);
      if (path !== work) await Deno.remove(path, { recursive: true });
    }
    await Deno.rename(types, join(all, name));
    made?.();
    return places;
  } catch {
    return undefined; // a folder that cannot be written to, or another run that was first
  } finally {
    if (work) await Deno.remove(work, { recursive: true }).catch(() => {});
  }
}

/** Counts up whenever what lies there changes. */
const format = "library types 2";

function placesIn(folder: string): LibraryTypes {
  return {
    deno: join(folder, "deno.json"),
    quick: join(folder, "compiler.json"),
    ownTypes: join(folder, "deno.d.ts"),
  };
}
