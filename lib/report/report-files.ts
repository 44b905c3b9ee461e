import { captionsText, findingsJson, tableCsv } from "./files/mod.ts";
import { reportHtml } from "./article/mod.ts";
import { briefHtml } from "./brief/mod.ts";
import { noFilesKept } from "./kept/mod.ts";
import { beginDraft, draftOf, type DraftOptions } from "./manuscript/mod.ts";
import { drawingOnPage, printSvg } from "./markup/mod.ts";
import type { ReportModel } from "./model/mod.ts";
import { executedNotebook } from "./notebooks/mod.ts";
import type { ReportContents } from "./output/mod.ts";
import { supplementHtml } from "./supplement/mod.ts";
import { turn } from "./turn.ts";
import { writeKept } from "./word-file/mod.ts";
import { wordHere, type WordWriter } from "./word-worker/mod.ts";

/** Where Word files are looked for first, and who makes them and the pictures in them. */
export interface FilesOptions extends DraftOptions {
  word: WordWriter;
}

/**
 * Every file of a report that follows from what it shows, by path within its folder.
 * Word files are begun first and awaited last.
 */
export async function reportFiles(
  model: ReportModel,
  options: FilesOptions = { kept: noFilesKept, workers: 0, word: wordHere },
): Promise<ReportContents> {
  const draft = draftOf(model);
  const finishDraft = draft && await beginDraft(draft, options);
  const tables = tablesDocument(model, options);
  tables.catch(() => {}); // it is awaited below, and raised there
  const contents: ReportContents = new Map();
  await turn();
  contents.set("report.html", reportHtml(model));
  await turn();
  contents.set("supplement.html", supplementHtml(model));
  await turn();
  contents.set("brief.html", briefHtml(model));
  contents.set("findings.json", findingsJson(model));
  for (const { item } of model.items.tables) contents.set(`tables/${item.id}.csv`, tableCsv(item));
  if (model.items.figures.length > 0) contents.set("figures/captions.txt", captionsText(model));
  for (const { item } of model.items.figures) {
    if (!drawingOnPage(item.svg)) continue; // the report says that it is none
    // a vector editor knows neither variables nor every selector of a style sheet
    contents.set(`figures/${item.id}.svg`, `${printSvg(item.svg)}\n`);
  }
  for (const run of model.runs) {
    contents.set(`notebooks/${run.notebook.id}.ipynb`, executedNotebook(run));
  }
  for (const [path, content] of await finishDraft?.() ?? []) contents.set(path, content);
  const tablesDocx = await tables;
  if (tablesDocx) contents.set("tables/tables.docx", tablesDocx);
  return contents;
}

/** Its tables as a Word document; nothing where there are none. */
async function tablesDocument(
  { study: { centre, title }, items: { tables, figures } }: ReportModel,
  { kept, word }: FilesOptions,
): Promise<Uint8Array<ArrayBuffer> | undefined> {
  if (tables.length === 0) return undefined;
  const path = "tables/tables.docx";
  const legends = figures.map(({ item: { title, caption }, number }) => ({
    item: { title, caption },
    number,
  }));
  const shown = { centre, title, tables, figures: legends };
  return await kept.find(path, shown) ??
    await writeKept(path, shown, { kept, write: (tables) => word.tables(shown, tables) });
}
