import { articleOf } from "../article/mod.ts";
import { type KeptFiles, noFilesKept } from "../kept/mod.ts";
import type { ReportModel } from "../model/mod.ts";
import { printSvg } from "../markup/mod.ts";
import { drawingFor } from "./drawing-for.ts";
import { manuscriptDocx } from "./manuscript-docx.ts";

/**
 * The files of the draft, by path within the report's folder; none where a run showed nothing.
 *
 * @param kept Where pictures are looked for first; default nowhere.
 */
export async function manuscriptFiles(
  model: ReportModel,
  kept: KeptFiles = noFilesKept,
): Promise<Map<string, string | Uint8Array<ArrayBuffer>>> {
  const files = new Map<string, string | Uint8Array<ArrayBuffer>>();
  const article = articleOf(model);
  if (article.sections.length === 0) return files;
  const pictures = new Map<string, Uint8Array<ArrayBuffer>>();
  const { figures } = article;
  if (figures.length > 0) {
    // loaded where there is something to draw: it brings a renderer
    const { figurePng } = await import("../print/mod.ts");
    for (const [index, { item }] of figures.entries()) {
      const drawing = drawingFor(item.svg, 85);
      if (!drawing) continue; // the report says that it is none
      const job = { id: item.id, title: item.title, svg: drawing };
      const size = { width: 160, dpi: 200 };
      const picture = () => figurePng(job, size);
      pictures.set(item.id, await kept.get(`picture ${item.id}`, { job, size }, picture));
      const stem = `manuscript/figure-${index + 1}`;
      files.set(`${stem}-1-column.svg`, printSvg(drawing));
      files.set(
        `${stem}-2-columns.svg`,
        printSvg(drawingFor(item.wide ?? item.svg, 180) ?? drawing),
      );
    }
  }
  files.set("manuscript/manuscript.docx", await manuscriptDocx(model, { article, pictures }));
  return files;
}
