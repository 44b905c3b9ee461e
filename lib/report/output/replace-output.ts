import { dirname, join } from "node:path";
import { type OutputPlaces, settle, statOf } from "../claim/mod.ts";

/** Files of a report by path within its folder: text or bytes. */
export type ReportContents = Map<string, string | Uint8Array<ArrayBuffer>>;

/**
 * Puts a finished report in the place of an older one. Everything is first written beside it; then
 * the older folder as a whole goes aside and the new one as a whole comes in, which are two renames
 * in a row. What a reader put into the older folder is moved over.
 */
export async function writeReport(
  { folder, work, isHeld }: OutputPlaces,
  contents: ReadonlyMap<string, string | Uint8Array<ArrayBuffer>>,
): Promise<void> {
  const lost = (why: string) => new Error(`Cannot write the report to ${folder}: ${why}`);
  const held = async () => {
    if (isHeld && !await isHeld()) throw lost(`${work} was removed while the run went on`);
  };
  const next = join(work, "next");
  await held();
  await Deno.mkdir(next);
  const made = new Set<string>();
  for (const [path, content] of contents) {
    const target = join(next, path);
    const folder = dirname(target);
    if (!made.has(folder)) Deno.mkdirSync(folder, { recursive: true });
    made.add(folder);
    if (typeof content === "string") Deno.writeTextFileSync(target, content);
    else Deno.writeFileSync(target, content);
  }
  await held();
  const before = statOf(folder);
  // through a link what lies elsewhere would be taken for the older report
  if (before && !before.isDirectory) throw lost("it is no folder any more");
  // who may read the folder stays as it was
  if (before?.mode !== null && before?.mode !== undefined) {
    Deno.chmodSync(next, before.mode & 0o777);
  }
  if (before) Deno.renameSync(folder, join(work, "previous"));
  Deno.renameSync(next, folder);
  settle({ folder, work });
}
