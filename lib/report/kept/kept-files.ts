import { writeOwnFile } from "../../study/file/mod.ts";
import { basename, dirname, join } from "../notebooks/mod.ts";
import { sha256 } from "../../numerics/memory/mod.ts";

/** Files of a report that take long to make, from earlier runs where they would be the same. */
export interface KeptFiles {
  /**
   * @param name Which file it is; one of a name is kept.
   * @param from All that it is made from, but for library and packages: what can be written as
   * JSON.
   * @returns undefined where it is not kept, or is made from anything else.
   */
  find(name: string, from: unknown): Promise<Bytes | undefined>;
  /** Keeps one, in place of that of its name. */
  keep(name: string, from: unknown, content: Bytes): Promise<void>;
  /**
   * Finds it, or makes it and keeps it.
   *
   * @param make Where it makes nothing, nothing is kept.
   */
  get<Made extends Bytes | undefined>(
    name: string,
    from: unknown,
    make: () => Promise<Made>,
  ): Promise<Bytes | Made>;
}

type Bytes = Uint8Array<ArrayBuffer>;

/** What follows from the files that a run reads, as {@link KeptFiles} is told it: their hashes. */
export function fromInputs(inputs: readonly { role: string; sha256: string }[]): unknown {
  return inputs.map(({ role, sha256 }) => [role, sha256]);
}

/** Where what is kept of a report's runs lies: beside its folder, hidden. */
export function keptFolder(folder: string): string {
  return join(dirname(folder), `.${basename(folder)}.kept`);
}

/** Keeps nothing. */
export const noFilesKept: KeptFiles = {
  find: () => Promise.resolve(undefined),
  keep: () => Promise.resolve(),
  get: (_name, _from, make) => make(),
};

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
  const keep = keptFolder(folder);
  const pathOf = (name: string) => join(keep, `${sha256(name)}.file`);
  const keyOf = (from: unknown) =>
    sha256([format, Deno.version.deno, library, lock, JSON.stringify(from)].join("\n"));
  const files: KeptFiles = {
    async find(name, from) {
      const whole = fresh ? undefined : await Deno.readFile(pathOf(name)).catch(() => undefined);
      return whole && checked(whole, keyOf(from));
    },
    async keep(name, from, content) {
      await Deno.mkdir(keep, { recursive: true, mode: 0o700 });
      const head = new TextEncoder().encode(`${keyOf(from)}\n${sha256(content)}\n`);
      const bytes = new Uint8Array(head.length + content.length);
      bytes.set(head);
      bytes.set(content, head.length);
      await writeOwnFile(pathOf(name), bytes);
    },
    async get(name, from, make) {
      const found = await files.find(name, from);
      if (found) return found;
      const made = await make();
      if (made !== undefined) await files.keep(name, from, made);
      return made;
    },
  };
  return files;
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
