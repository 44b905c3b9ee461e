import { join, relative, resolve } from "node:path";

const root = resolve(import.meta.dirname!, "../..");

/** Every TypeScript file below a folder of the project, with its text. */
export function* walkSync(folder: string): Generator<[path: string, source: string]> {
  for (const entry of Deno.readDirSync(join(root, folder))) {
    const path = join(folder, entry.name);
    if (entry.isDirectory) yield* walkSync(path);
    else if (path.endsWith(".ts")) {
      yield [relative(root, join(root, path)), Deno.readTextFileSync(join(root, path))];
    }
  }
}
