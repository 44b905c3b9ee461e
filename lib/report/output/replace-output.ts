import { dirname, join } from "../notebooks/mod.ts";

/** Files of a report by path within its folder: text or bytes. */
export type ReportContents = Map<string, string | Uint8Array<ArrayBuffer>>;

/** Names the report owns in its folder; nothing else there is lost. */
const owned = new Set([
  "report.html",
  "supplement.html",
  "brief.html",
  "brief.pdf",
  "findings.json",
  "excluded.csv",
  "tables",
  "figures",
  "notebooks",
  "manuscript",
  "manifest.json",
  ".work",
]);

/**
 * Makes sure that a folder may become, or is, a report's.
 *
 * @throws {Error} Where it holds something that no report left there.
 */
export function checkOutput(folder: string): void {
  const names = namesIn(folder);
  if (names === undefined || names.length === 0 || names.includes("manifest.json")) return;
  throw new Error(
    `Cannot write the report to ${folder}: it holds other files (${names.sort()[0]}); ` +
      `choose an empty or new folder`,
  );
}

/** A report's folder and the private folder beside it, in which it is made. */
export interface OutputPlaces {
  folder: string;
  work: string;
  /** Whether the private folder is still this run's. */
  isHeld?(): Promise<boolean>;
}

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

/**
 * Ends what a replacement that was cut short began: the old report comes back where no new one has
 * taken its place, else what was not the report's is moved over.
 */
export function settle({ folder, work }: OutputPlaces): void {
  const previous = join(work, "previous");
  const names = namesIn(previous);
  if (names === undefined) return;
  if (statOf(folder) === undefined) {
    Deno.renameSync(previous, folder);
    return;
  }
  for (const name of names) {
    if (!owned.has(name) && statOf(join(folder, name)) === undefined) {
      Deno.renameSync(join(previous, name), join(folder, name));
    }
  }
  Deno.removeSync(previous, { recursive: true });
}

function namesIn(folder: string): string[] | undefined {
  try {
    return [...Deno.readDirSync(folder)].map(({ name }) => name);
  } catch (error) {
    if (error instanceof Deno.errors.NotFound) return undefined;
    throw error;
  }
}

function statOf(path: string): Deno.FileInfo | undefined {
  try {
    return Deno.lstatSync(path);
  } catch (error) {
    if (error instanceof Deno.errors.NotFound) return undefined;
    throw error;
  }
}
