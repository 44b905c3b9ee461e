import { fromInputs, type KeptFiles } from "./kept-files.ts";

/**
 * Makes what a run stands on, but for what was kept from a run over the same study and tables. It
 * has values of patients: like all that is kept it is for the group alone.
 *
 * @param paths Where notebooks find each file, by its name.
 * @param inputs What they follow from: the files that are read, with their hashes.
 * @param prepare Makes those that it is told to; what cannot be made has no file.
 */
export async function withKeptInputs<Name extends string>(
  paths: ReadonlyMap<Name, string>,
  { kept, inputs, prepare }: {
    kept: KeptFiles;
    inputs: readonly { role: string; sha256: string }[];
    prepare: (names: Name[]) => Promise<void>;
  },
): Promise<void> {
  const from = fromInputs(inputs);
  const missing = new Map(paths);
  for (const [name, path] of paths) {
    const bytes = await kept.find(`input ${name}`, from);
    if (!bytes) continue;
    await Deno.writeFile(path, bytes, { createNew: true, mode: 0o600 });
    missing.delete(name);
  }
  if (missing.size === 0) return;
  await prepare([...missing.keys()]);
  for (const [name, path] of missing) {
    const size = await Deno.stat(path).then(({ size }) => size, () => undefined);
    if (size === undefined || size > most) continue;
    await kept.keep(`input ${name}`, from, await Deno.readFile(path));
  }
}

/** Of a larger cohort they are made in a small part of the time that its notebooks take. */
const most = 10e6;
