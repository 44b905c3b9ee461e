import { join } from "../notebooks/mod.ts";

/**
 * Paths of what lies in a folder and in those below it, folders themselves apart; links are not
 * followed.
 *
 * @param wanted Which entries, default all.
 */
export function filesWithin(
  folder: string,
  wanted: (entry: Deno.DirEntry) => boolean = () => true,
): string[] {
  return [...Deno.readDirSync(folder)].flatMap((entry) => {
    const { name, isDirectory } = entry;
    if (isDirectory) {
      return filesWithin(join(folder, name), wanted).map((path) => `${name}/${path}`);
    }
    return wanted(entry) ? [name] : [];
  });
}
