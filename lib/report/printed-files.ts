import { briefBlocks } from "./brief/mod.ts";
import { safeSvg } from "./markup/mod.ts";
import type { ReportModel } from "./model/mod.ts";
import type { ReportContents } from "./output/mod.ts";
import { briefPdf, printFigures, type PrintJob } from "./print/mod.ts";
import { withoutSentences } from "./seal/mod.ts";

/**
 * The files of a report that are for print: figures as PDF and PNG, for one and two columns of a
 * journal, and the brief as PDF.
 *
 * @param withheld Sentences that no document may have.
 */
export async function printedFiles(
  model: ReportModel,
  withheld: readonly string[],
): Promise<ReportContents> {
  const contents: ReportContents = new Map(await printFigures(printJobs(model)));
  const brief = withoutSentences(briefBlocks(model), [...withheld]);
  contents.set("brief.pdf", await briefPdf(brief, { title: model.study.title }));
  return contents;
}

function printJobs({ items }: ReportModel): PrintJob[] {
  return items.figures.flatMap(({ item: { id, title, svg, wide } }) => {
    const safe = safeSvg(svg);
    return safe ? [{ id, title, svg: safe, wide: wide && safeSvg(wide) }] : [];
  });
}
