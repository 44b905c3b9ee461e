import type { Snapshot } from "../snapshot/mod.ts";
import { originOfRun } from "./part-file.ts";
import { partsAtHand, partsFolder } from "./parts-at-hand.ts";

/**
 * Writes what the parts beside a report come to where its notebooks find it, and tells of those
 * that are not used.
 *
 * @param folder The report's.
 * @param run What the run rests on, and the hash of its plan.
 * @param to Private files, which are not there yet.
 * @returns Whether the completed sets were among them.
 */
export async function handOverParts(
  folder: string,
  run: Pick<Snapshot, "files" | "library" | "lock"> & { plan: string },
  to: { completed: string; replicates: string },
  tell: ((note: string) => void) | undefined,
): Promise<{ hasSets: boolean }> {
  const { sets, limits, notes } = await partsAtHand(partsFolder(folder), originOfRun(run));
  for (const note of notes) tell?.(note);
  const own = { createNew: true, mode: 0o600 };
  if (sets !== undefined) await Deno.writeTextFile(to.completed, sets, own);
  if (limits !== undefined) await Deno.writeTextFile(to.replicates, limits, own);
  return { hasSets: sets !== undefined };
}
