import { join } from "node:path";
import { projectFolder } from "../sandbox/mod.ts";

/** Where a study's report goes unless told. */
export function folderOf(study: string, preview: boolean): string {
  return join(projectFolder, "out", `${study}${preview ? "-preview" : ""}`);
}

/** A report's folder and the private folder beside it, in which it is made. */
export interface OutputPlaces {
  folder: string;
  work: string;
  /** Whether the private folder is still this run's. */
  isHeld?(): Promise<boolean>;
}

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

/** What lies at a path; undefined where nothing does. */
export function statOf(path: string): Deno.FileInfo | undefined {
  try {
    return Deno.lstatSync(path);
  } catch (error) {
    if (error instanceof Deno.errors.NotFound) return undefined;
    throw error;
  }
}
