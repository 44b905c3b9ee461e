import { dirname } from "node:path";

/** One of several files that belong together. */
export interface FileToWrite {
  path: string;
  /** Writes the whole of it to the path it is given. */
  write: (path: string) => Promise<void>;
}

/**
 * Writes several files, all of them or none: each under another name in its folder, and under its
 * own once all are complete. Where one cannot be written, as on a full disk, nothing is left of
 * any, nor of a folder that was made for them; what was there before stays.
 *
 * A run that is killed meanwhile leaves unfinished files, whose names end in `.new`.
 *
 * @throws Whatever a writer throws.
 */
export async function writeTogether(files: readonly FileToWrite[]): Promise<void> {
  const made: string[] = [];
  try {
    for (const { path, write } of files) {
      made.push(...await makeFolder(dirname(path)));
      await write(unfinished(path));
    }
  } catch (error) {
    for (const { path } of files) await Deno.remove(unfinished(path)).catch(() => {});
    // the innermost first; one that somebody else put something into stays
    for (const folder of made.reverse()) await Deno.remove(folder).catch(() => {});
    throw error;
  }
  for (const { path } of files) await Deno.rename(unfinished(path), path);
}

/** A text as one of them. */
export function textFile(
  path: string,
  text: string,
  options: Deno.WriteFileOptions = {},
): FileToWrite {
  return { path, write: (to) => Deno.writeTextFile(to, text, options) };
}

/** Writes blocks of bytes to a file that its owner alone may read. */
export async function writeOwnBlocks(
  path: string,
  blocks: Iterable<Uint8Array<ArrayBuffer>>,
): Promise<void> {
  await Deno.writeFile(path, ReadableStream.from(blocks), { mode: 0o600 });
}

const unfinished = (path: string) => `${path}.new`;

/** Makes a folder and those above it; which of them were not there, the outermost first. */
async function makeFolder(folder: string): Promise<string[]> {
  try {
    await Deno.stat(folder);
    return [];
  } catch (error) {
    if (!(error instanceof Deno.errors.NotFound)) throw error;
  }
  const above = dirname(folder);
  const made = above === folder ? [] : await makeFolder(above);
  await Deno.mkdir(folder);
  return [...made, folder];
}
