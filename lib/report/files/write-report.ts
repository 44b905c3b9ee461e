import { dirname, join } from "../notebooks/mod.ts";

/** Files of a report by path within its folder: text or bytes. */
export type ReportContents = Map<string, string | Uint8Array<ArrayBuffer>>;

/** Names the report owns in its folder; nothing else there is touched. */
const owned = [
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
];

/**
 * Makes sure that a folder may become, or is, a report's.
 *
 * @throws {Error} Where it holds something that no report left there.
 */
export async function checkOutput(folder: string): Promise<void> {
  const names: string[] = [];
  try {
    for await (const { name } of Deno.readDir(folder)) names.push(name);
  } catch (error) {
    if (error instanceof Deno.errors.NotFound) return;
    throw error;
  }
  if (names.length === 0 || names.includes("manifest.json") || names.includes(".work")) return;
  throw new Error(
    `Cannot write the report to ${folder}: it holds other files (${names.sort()[0]}); ` +
      `choose an empty or new folder`,
  );
}

/**
 * Puts a finished report in the place of an older one: everything is first written beside it, the
 * old manifest goes before anything else changes, and the new one comes last.
 */
export async function replaceOutput(
  folder: string,
  report: { contents: ReportContents; manifest: string },
): Promise<void> {
  const fresh = join(folder, ".work", "next");
  await removeIfThere(fresh);
  for (const [path, content] of [...report.contents, ["manifest.json", report.manifest] as const]) {
    const target = join(fresh, path);
    await Deno.mkdir(dirname(target), { recursive: true });
    if (typeof content === "string") await Deno.writeTextFile(target, content);
    else await Deno.writeFile(target, content);
  }
  await removeIfThere(join(folder, "manifest.json"));
  for (const name of owned) {
    await removeIfThere(join(folder, name));
    try {
      await Deno.rename(join(fresh, name), join(folder, name));
    } catch (error) {
      // a report may have no tables or figures
      if (!(error instanceof Deno.errors.NotFound)) throw error;
    }
  }
  await removeIfThere(fresh);
}

async function removeIfThere(path: string): Promise<void> {
  try {
    await Deno.remove(path, { recursive: true });
  } catch (error) {
    if (!(error instanceof Deno.errors.NotFound)) throw error;
  }
}
