import { answerLines } from "../show/mod.ts";
import type { FigureItem, Placed, ReportModel, TableItem } from "../model/mod.ts";
import { documentHtml } from "../markup/mod.ts";
import { contentsTree, failuresTree, footerTree, onOwnPage, type Place } from "../page/mod.ts";
import { pageScript } from "../page/script/mod.ts";
import { h, textOfTree } from "../tree/mod.ts";
import { glossaryTree, linkTerms } from "./glossary.ts";
import { type FilledSection, filledSections } from "./choose.ts";
import { citeTree } from "./cite.ts";
import { frontParts, frontTree } from "./front.ts";
import { methodsPage } from "./methods-page.ts";
import { sectionTree } from "./section-tree.ts";

/** The article as it is printed: which items it has, in its order, and what they are called. */
export interface Article {
  sections: FilledSection[];
  /** Each once, in the order of the sections, which is that of their numbers. */
  figures: Placed<FigureItem>[];
  tables: Placed<TableItem>[];
  place: Place;
}

/** Chooses what of a run goes into its article. */
export function articleOf(model: ReportModel): Article {
  const sections = filledSections(model);
  const figures = [...new Set(sections.flatMap(({ figure }) => figure ?? []))];
  const tables = [...new Set(sections.flatMap(({ table }) => table ?? []))];
  return { sections, figures, tables, place: onOwnPage(model, [...figures, ...tables], []) };
}

/**
 * The report: an article of at most twelve printed pages, every claim of which leads to the
 * supplement beside it. One script that it can do without, no request to anywhere, the same bytes
 * for the same inputs.
 */
export function reportHtml(model: ReportModel): string {
  const { study } = model;
  const { sections, place } = articleOf(model);
  const parts = [
    ...sections.map((filled) => sectionTree(filled, place)),
    methodsPage(place),
    citeTree(model, { manuscript: sections.length > 0 }),
  ];
  const words = parts.map(textOfTree).join(" ");
  const first = frontParts(model);
  const contents = [
    ...first,
    ...sections.map(({ section }) => ({ anchor: section.id, title: section.topic })),
    { anchor: "methods", title: "Methods" },
    { anchor: "cite", title: "How to cite" },
    { anchor: "terms", title: "Terms" },
  ].map((entry) => ({ ...entry, parts: [] }));
  return documentHtml({
    title: study.title,
    description: answerLines(model.items.findings.map(({ item }) => item), study.estimand).join(
      " ",
    ),
    script: pageScript(),
    sheet: "article",
    body: [
      h("a.skip", { href: "#answer" }, "To what these data show"),
      h(
        "main.article",
        {},
        failuresTree(model),
        frontTree(place),
        h(
          "div.paper",
          {},
          contentsTree(contents),
          h(
            "div.sections",
            {},
            linkTerms(parts, words),
            glossaryTree(words),
          ),
          h("a.to-contents", { href: "#contents" }, "Contents"),
        ),
      ),
      footerTree(model),
    ],
  });
}
