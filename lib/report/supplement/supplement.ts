import { appendixTree } from "./appendix.ts";
import { methodsTree } from "./methods-tree.ts";
import { hasMapping } from "./mapping-section.ts";
import { notebookSection } from "../notebook-sections/mod.ts";
import {
  cautions,
  contentsTree,
  failuresTree,
  footerTree,
  inSupplement,
  type Section,
} from "../page/mod.ts";
import { pageScript } from "../page/script/mod.ts";
import type { ReportModel } from "../model/mod.ts";
import { documentHtml, sectionTree } from "../markup/mod.ts";
import { type Content, h } from "../tree/mod.ts";

/**
 * Everything a run showed, as one HTML file that opens alone: every notebook whole with its code
 * folded, the plan, the methods, the checklist and what the run rests on. One script that it can do
 * without, no request to anywhere, the same bytes for the same inputs.
 */
export function supplementHtml(model: ReportModel): string {
  const { study } = model;
  const place = inSupplement(model);
  const sections: Section[] = [
    ...model.runs.map((run) => notebookSection(run, place)),
    plain("methods", "Methods", methodsTree(model), [
      { anchor: "plan", title: "The plan" },
      { anchor: "plan-lock", title: "When the plan was fixed" },
      { anchor: "target-trial", title: "The target trial" },
      ...(hasMapping(study)
        ? [{ anchor: "mapping", title: "From the files’ columns to those analysed" }]
        : []),
      { anchor: "methods-run", title: "Methods used" },
      { anchor: "deviations", title: "Departures from the plan" },
      { anchor: "works", title: "References" },
    ]),
    plain(
      "cautions",
      "Cautions",
      h("ul", {}, cautions(model).map((line) => h("li", {}, line))),
      [],
    ),
    plain("appendix", "Appendix", appendixTree(model), [
      { anchor: "checklist", title: "Reporting checklist" },
      { anchor: "versions", title: "Versions" },
      { anchor: "planned", title: "What the plan asked for" },
      { anchor: "elsewhere", title: "Beside this page" },
    ]),
  ];
  return documentHtml({
    title: `Supplement: ${study.title}`,
    description: `Every result behind the report “${study.title}”.`,
    script: pageScript(),
    body: [
      h("a.skip", { href: "#contents" }, "To the contents"),
      h(
        "main",
        {},
        failuresTree(model),
        h(
          "header.first",
          {},
          h("p.overline#title", {}, study.title, " ", h("span", {}, study.centre)),
          h("h1#question", {}, "Supplement: every result, and how it was worked out"),
          h(
            "p",
            {},
            "What the ",
            h("a", { href: "report.html" }, "report"),
            " says in twelve pages stands here whole: each notebook with its code, the plan, the methods with their sources, the checklist, and the hashes of what went in.",
          ),
        ),
        h(
          "div.paper",
          {},
          contentsTree(sections),
          h("div.sections", {}, sections.map(({ content }) => content)),
          h("a.to-contents", { href: "#contents" }, "Contents"),
        ),
      ),
      footerTree(model),
    ],
  });
}

function plain(
  anchor: string,
  title: string,
  content: Content,
  parts: Section["parts"],
): Section {
  return { anchor, title, parts, content: sectionTree(anchor, title, content) };
}
