import { sha256 } from "../../numerics/memory/mod.ts";
import { join } from "../notebooks/mod.ts";
import { filesWithin } from "./files-within.ts";
import { projectFolder } from "../sandbox/mod.ts";

/**
 * One SHA-256 for the library and the project's settings: of the paths of their files, in order,
 * each with the SHA-256 of what is in it.
 */
export function libraryHash(): string {
  const inLibrary = filesWithin(join(projectFolder, "lib")).map((path) => `lib/${path}`);
  const paths = ["deno.json", "package.json", ...inLibrary].sort();
  // a thousand short files: each by itself, so that nothing waits for anything
  const lines = paths.map((path) =>
    `${sha256(Deno.readFileSync(join(projectFolder, path)))}  ${path}\n`
  );
  return sha256(lines.join(""));
}
