import { join } from "node:path";

/** Every TypeScript file below a folder. */
export function* typescriptFiles(folder: string): Generator<string> {
  for (const entry of Deno.readDirSync(folder)) {
    const path = join(folder, entry.name);
    if (entry.isDirectory) yield* typescriptFiles(path);
    else if (path.endsWith(".ts")) yield path;
  }
}
