import { answerLines } from "../show/mod.ts";
import type { ReportModel } from "../model/mod.ts";
import { documentHtml } from "../markup/mod.ts";
import { contentsTree, failuresTree, onOwnPage, type Place } from "../page/mod.ts";
import { pageScript } from "../page/script/mod.ts";
import { h, textOfTree } from "../tree/mod.ts";
import { glossaryTree, linkTerms } from "./glossary.ts";
import { type FilledSection, filledSections } from "./choose.ts";
import { citeTree } from "./cite.ts";
import { frontTree } from "./front.ts";
import { methodsPage } from "./methods-page.ts";
import { sectionTree } from "./section-tree.ts";

/** The article as it is printed: which items it has, in its order, and what they are called. */
export interface Article {
  sections: FilledSection[];
  place: Place;
}

/** Chooses what of a run goes into its article. */
export function articleOf(model: ReportModel): Article {
  const sections = filledSections(model);
  const shown = sections.flatMap(({ figure, table }) =>
    [figure, table].filter((placed) => placed !== undefined)
  );
  const own = shown.filter((placed, i) => shown.indexOf(placed) === i);
  return { sections, place: onOwnPage(model, own, []) };
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
  const contents = [
    ...sections.map(({ section }) => ({ anchor: section.id, title: section.topic })),
    { anchor: "methods", title: "Methods" },
    { anchor: "cite", title: "How to cite" },
    { anchor: "terms", title: "Terms" },
  ].map((entry) => ({ ...entry, content: h("span", {}), parts: [] }));
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
      h(
        "footer",
        {},
        h(
          "p",
          {},
          `${study.title}. ${study.centre}. Averages of groups, not advice for one patient.`,
        ),
      ),
    ],
  });
}
