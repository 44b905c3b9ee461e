import { captionsText, findingsJson, tableCsv } from "./files/mod.ts";
import { wordFiles, type WordMaker } from "./aside/mod.ts";
import { reportHtml } from "./article/mod.ts";
import { briefHtml } from "./brief/mod.ts";
import { printSvg, safeDrawing } from "./markup/mod.ts";
import type { ReportModel } from "./model/mod.ts";
import { executedNotebook } from "./notebooks/mod.ts";
import type { ReportContents } from "./output/mod.ts";
import { supplementHtml } from "./supplement/mod.ts";

/**
 * Every file of a report that follows from what it shows, by path within its folder.
 *
 * @param word Makes the Word files; the manuscript is begun first and awaited last.
 */
export async function reportFiles(
  model: ReportModel,
  word: WordMaker = wordFiles(),
): Promise<ReportContents> {
  const manuscript = word.manuscript(model);
  manuscript.catch(() => {}); // it is awaited when the rest is there, and raised there
  const contents: ReportContents = new Map();
  contents.set("report.html", reportHtml(model));
  contents.set("supplement.html", supplementHtml(model));
  contents.set("brief.html", briefHtml(model));
  contents.set("findings.json", findingsJson(model));
  for (const { item } of model.items.tables) contents.set(`tables/${item.id}.csv`, tableCsv(item));
  if (model.items.figures.length > 0) contents.set("figures/captions.txt", captionsText(model));
  for (const { item } of model.items.figures) {
    if (!safeDrawing(item.svg)) continue; // the report says that it is none
    // a vector editor knows neither variables nor every selector of a style sheet
    contents.set(`figures/${item.id}.svg`, `${printSvg(item.svg)}\n`);
  }
  for (const run of model.runs) {
    contents.set(`notebooks/${run.notebook.id}.ipynb`, executedNotebook(run));
  }
  for (const made of [await word.tables(model), await manuscript]) {
    for (const [path, content] of made) contents.set(path, content);
  }
  return contents;
}
