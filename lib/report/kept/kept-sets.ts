import { fromInputs, type KeptFiles } from "./kept-files.ts";

/**
 * Makes what a run stands on, but for completed sets that were kept from a run over the same study
 * and tables. They have values of patients: like all that is kept they are for the group alone.
 *
 * @param path Where notebooks find the sets.
 * @param inputs What they follow from: the files that are read, with their hashes.
 * @param prepare Makes what else there is, and the sets where it is told to.
 */
export async function withKeptSets(
  path: string,
  { kept, inputs, prepare }: {
    kept: KeptFiles;
    inputs: readonly { role: string; sha256: string }[];
    prepare: (withSets: boolean) => Promise<void>;
  },
): Promise<void> {
  const name = "completed sets";
  const from = fromInputs(inputs);
  const sets = await kept.find(name, from);
  if (sets) await Deno.writeFile(path, sets, { createNew: true, mode: 0o600 });
  await prepare(!sets);
  if (sets) return;
  const size = await Deno.stat(path).then(({ size }) => size, () => undefined);
  if (size !== undefined && size <= most) await kept.keep(name, from, await Deno.readFile(path));
}

/** Of a larger cohort they are made in a small part of the time that its notebooks take. */
const most = 10e6;
