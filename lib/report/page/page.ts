import { appendixTree } from "./appendix.ts";
import { answerLines } from "../show/mod.ts";
import { firstScreen, headlineFigureId } from "./first-screen.ts";
import { cautionsTree, methodsTree } from "./plan-section.ts";
import { hasMapping } from "./mapping-section.ts";
import { describeFailures } from "../notebooks/mod.ts";
import { notebookSection, type Section } from "./notebook-section.ts";
import { pageScript } from "./script/mod.ts";
import type { ReportModel } from "../model/mod.ts";
import { documentHtml, sectionTree } from "../markup/mod.ts";
import { type Content, type Element, flat, h } from "../tree/mod.ts";

/**
 * The report as one HTML file: one script that it can do without, no request to anywhere, the same
 * bytes for the same inputs. First screen, contents, one section a notebook in their order, methods, cautions,
 * appendix.
 */
export function reportHtml(model: ReportModel): string {
  const { study } = model;
  const shown = headlineFigureId(model);
  const sections: Section[] = [
    ...model.runs.map((run) => notebookSection(run, model, shown)),
    plain("methods", "Methods", methodsTree(model), [
      { anchor: "plan", title: "The plan" },
      ...(hasMapping(study)
        ? [{ anchor: "mapping", title: "From the files’ columns to those analysed" }]
        : []),
      { anchor: "methods-run", title: "Methods used" },
      { anchor: "deviations", title: "Departures from the plan" },
      { anchor: "works", title: "References" },
    ]),
    plain("cautions", "Cautions", cautionsTree(model), []),
    plain("appendix", "Appendix", appendixTree(model), [
      { anchor: "checklist", title: "Reporting checklist" },
      { anchor: "versions", title: "Versions" },
      { anchor: "planned", title: "What the plan asked for" },
      { anchor: "elsewhere", title: "Beside this page" },
    ]),
  ];
  const description = answerLines(
    model.items.findings.map(({ item }) => item),
    model.study.estimand,
  ).join(" ");
  return documentHtml({
    title: study.title,
    description,
    script: pageScript(),
    body: [
      h("a.skip", { href: "#answer" }, "To what these data show"),
      h(
        "main",
        {},
        failuresTree(model),
        firstScreen(model),
        h(
          "div.paper",
          {},
          contentsTree(sections),
          h("div.sections", {}, sections.map(({ content }) => content)),
          h("a.to-contents", { href: "#contents" }, "Contents"),
        ),
      ),
      h(
        "footer",
        {},
        h(
          "p",
          {},
          `${study.title}. ${study.centre}. Results of groups, not advice for one patient.`,
        ),
      ),
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

function failuresTree(model: ReportModel): Content {
  if (model.failures.length === 0) return null;
  const lines = describeFailures(model.failures);
  return h(
    "div.failed.banner",
    { role: "alert" },
    h(
      "p",
      {},
      h("b", {}, "This report is incomplete."),
      ` Do not rely on it: ${
        lines.length === 1 ? "one thing" : `${lines.length} things`
      } went wrong.`,
    ),
    h("ul", {}, lines.map((words) => h("li", {}, words))),
  );
}

function contentsTree(sections: readonly Section[]): Element {
  const entry = (anchor: string, title: Content) => h("a", { href: `#${anchor}` }, unlinked(title));
  return h(
    "nav.contents",
    { ariaLabelledBy: "contents" },
    h("h2#contents", {}, "Contents"),
    h(
      "ol",
      {},
      sections.map(({ anchor, title, parts }) =>
        h(
          "li",
          {},
          entry(anchor, title),
          parts.length > 0 &&
            h("ul", {}, parts.map((part) => h("li", {}, entry(part.anchor, part.title)))),
        )
      ),
    ),
  );
}

/** A heading without links, which may not stand within another. */
function unlinked(content: Content): Content {
  return flat([content]).map((node): Content => {
    if (node.type !== "element") return node;
    const children = flat([unlinked(node.children)]);
    return node.tagName === "a" ? children : { ...node, children };
  });
}
