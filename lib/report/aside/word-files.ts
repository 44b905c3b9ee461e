import { tablesDocx } from "../files/mod.ts";
import { type KeptFiles, noFilesKept } from "../kept/mod.ts";
import { manuscriptFiles } from "../manuscript/mod.ts";
import type { ReportModel } from "../model/mod.ts";

/** Contents by path within the report's folder. */
export type WordFiles = Map<string, string | Uint8Array<ArrayBuffer>>;

/** What is made in one go. */
export type WordPart = "tables" | "manuscript";

/** Everything there is to make. */
export const wordParts: readonly WordPart[] = ["tables", "manuscript"];

/**
 * The Word files of a report, and the drawings that go with the manuscript: every table in one
 * file; the draft of an article. None where a run showed nothing.
 *
 * @param options.kept Where files are looked for first; default nowhere.
 * @param options.parts Default both.
 */
export async function wordFiles(
  model: ReportModel,
  { kept = noFilesKept, parts = wordParts }: {
    kept?: KeptFiles;
    parts?: readonly WordPart[];
  } = {},
): Promise<WordFiles> {
  const files: WordFiles = new Map();
  if (parts.includes("tables") && model.items.tables.length > 0) {
    const { study: { centre, title }, items: { tables, figures } } = model;
    const path = "tables/tables.docx";
    const shown = { centre, title, tables, figures };
    files.set(path, await kept.get(path, shown, () => tablesDocx(model)));
  }
  if (!parts.includes("manuscript")) return files;
  for (const [path, content] of await manuscriptFiles(model, kept)) files.set(path, content);
  return files;
}
