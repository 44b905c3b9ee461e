import { frontTree, mainFindings } from "../article/mod.ts";
import { type ReportModel, tableOf } from "../model/mod.ts";
import { documentHtml } from "../markup/mod.ts";
import { failuresTree, figureTree, footerTree, onOwnPage } from "../page/mod.ts";
import { gridId } from "../pair-tables/mod.ts";
import { h } from "../tree/mod.ts";

/** The page to hand out: what the first page of the report shows, alone on one sheet. */
export function briefHtml(model: ReportModel): string {
  const { study, items } = model;
  const drawn = mainFindings(model).map(({ item }) => item.figureId);
  const picture = tableOf(items, gridId)
    ? undefined
    : items.figures.find(({ item }) => drawn.includes(item.id));
  const place = onOwnPage(model, picture ? [picture] : [], []);
  return documentHtml({
    title: `In brief: ${study.title}`,
    description: study.question,
    sheet: "brief",
    body: [
      h(
        "main.article.brief",
        {},
        failuresTree(model),
        frontTree(place),
        picture && figureTree(picture, place),
      ),
      footerTree(model, " ", h("a", { href: "report.html" }, "The report"), "."),
    ],
  });
}
