import { writeOwnFile } from "../../study/file/mod.ts";
import { basename, dirname, join } from "../notebooks/mod.ts";
import { sha256 } from "../snapshot/mod.ts";

/** Files of a report that take long to make, from earlier runs where they would be the same. */
export interface KeptFiles {
  /**
   * @param name Which file it is; one of a name is kept.
   * @param from All that it is made from, but for library and packages: what can be written as
   * JSON.
   * @param make Makes it; where it makes nothing, nothing is kept.
   */
  get<Made extends Bytes | undefined>(
    name: string,
    from: unknown,
    make: () => Promise<Made>,
  ): Promise<Bytes | Made>;
}

type Bytes = Uint8Array<ArrayBuffer>;

/** Makes every file anew. */
export const noFilesKept: KeptFiles = { get: (_name, _from, make) => make() };

/**
 * Files kept beside a report's folder, where `keptRuns` keeps results: pictures and tables of a
 * report in which nothing but the words has changed. What cannot be read, or was changed, is as if
 * it were not there.
 *
 * @param folder The report's.
 * @param options.library Hash of the library, which makes them.
 * @param options.lock Hash of the packages it uses.
 * @param options.fresh Uses none of those kept; keeps the new ones.
 */
export function keptFiles(
  folder: string,
  { library, lock, fresh = false }: { library: string; lock: string; fresh?: boolean },
): KeptFiles {
  const keep = join(dirname(folder), `.${basename(folder)}.kept`);
  return {
    async get(name, from, make) {
      const key = sha256(
        [format, Deno.version.deno, library, lock, JSON.stringify(from)].join("\n"),
      );
      const path = join(keep, `${sha256(name)}.file`);
      const whole = fresh ? undefined : await Deno.readFile(path).catch(() => undefined);
      const content = whole && checked(whole, key);
      if (content) return content;
      const made = await make();
      if (made === undefined) return made;
      await Deno.mkdir(keep, { recursive: true, mode: 0o700 });
      const head = new TextEncoder().encode(`${key}\n${sha256(made)}\n`);
      const bytes = new Uint8Array(head.length + made.length);
      bytes.set(head);
      bytes.set(made, head.length);
      await writeOwnFile(path, bytes);
      return made;
    },
  };
}

/** Counts up whenever the shape of what is kept changes. */
const format = "kept files 1";

/** Two hashes of 64 letters, each with the end of its line. */
const headLength = 130;

/** The content, where it is from what it is wanted from, and as it was written. */
function checked(whole: Bytes, key: string): Bytes | undefined {
  const [own, hash] = new TextDecoder().decode(whole.subarray(0, headLength)).split("\n");
  const content = whole.slice(headLength);
  return own === key && hash === sha256(content) ? content : undefined;
}
