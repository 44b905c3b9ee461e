import { appendixHtml } from "./appendix.ts";
import { answerLines, escapeHtml } from "../show/mod.ts";
import { firstScreen, headlineFigureId } from "./first-screen.ts";
import { cautionsHtml, methodsHtml } from "./plan-section.ts";
import { hasMapping } from "./mapping-section.ts";
import { describeFailures } from "../notebooks/mod.ts";
import { notebookSection, type Section } from "./notebook-section.ts";
import { pageScript } from "./script/mod.ts";
import type { ReportModel } from "../model/mod.ts";
import { styleSheet } from "./style.ts";

/**
 * The report as one HTML file: one script that it can do without, no request to anywhere, the same
 * bytes for the same inputs. First screen, contents, one section a notebook in their order, methods, cautions,
 * appendix.
 */
export function reportHtml(model: ReportModel): string {
  const { study } = model;
  const shown = headlineFigureId(model);
  const script = pageScript();
  const sections: Section[] = [
    ...model.runs.map((run) => notebookSection(run, model, shown)),
    plain("methods", "Methods", methodsHtml(model), [
      { anchor: "plan", title: "The plan" },
      ...(hasMapping(study)
        ? [{ anchor: "mapping", title: "From the files’ columns to those analysed" }]
        : []),
      { anchor: "methods-run", title: "Methods used" },
      { anchor: "deviations", title: "Departures from the plan" },
      { anchor: "works", title: "References" },
    ]),
    plain("cautions", "Cautions", cautionsHtml(model), []),
    plain("appendix", "Appendix", appendixHtml(model), [
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
  return `<!doctype html>
<html lang="en">
<head>
<meta charset="utf-8">
<meta name="viewport" content="width=device-width, initial-scale=1">
<meta http-equiv="Content-Security-Policy" content="default-src 'none'; script-src '${script.hash}'; style-src 'unsafe-inline'; img-src data:; base-uri 'none'; form-action 'none'">
<meta name="color-scheme" content="light dark">
<meta name="description" content="${escapeHtml(description)}">
<title>${escapeHtml(study.title)}</title>
<style>${styleSheet()}</style>
</head>
<body>
<a class="skip" href="#answer">To the answer</a>
<main>
${failuresHtml(model)}
${firstScreen(model)}
<div class="paper">
${contentsHtml(sections)}
<div class="sections">
${sections.map(({ html }) => html).join("\n")}
</div>
<a class="to-contents" href="#contents">Contents</a>
</div>
</main>
<footer><p>${escapeHtml(study.title)}. ${
    escapeHtml(study.centre)
  }. Results of groups, not advice for one patient.</p></footer>
<script>${script.code}</script>
</body>
</html>
`;
}

function plain(
  anchor: string,
  title: string,
  html: string,
  parts: Section["parts"],
): Section {
  return {
    anchor,
    title,
    parts,
    html: `<section id="${anchor}" class="standing"><div class="head"><h2>${title}</h2></div>\n` +
      `<div class="body">\n${html}\n</div></section>`,
  };
}

function failuresHtml(model: ReportModel): string {
  if (model.failures.length === 0) return "";
  const lines = describeFailures(model.failures).map((words) => `<li>${escapeHtml(words)}</li>`);
  return `<div class="failed banner" role="alert"><p><b>This report is incomplete.</b> Do not rely on it: ${
    lines.length === 1 ? "one thing" : `${lines.length} things`
  } went wrong.</p><ul>${lines.join("\n")}</ul></div>`;
}

function contentsHtml(sections: readonly Section[]): string {
  const entries = sections.map(({ anchor, title, parts }) => {
    const inner = parts.length === 0
      ? ""
      : `<ul>${
        parts.map((part) => `<li><a href="#${part.anchor}">${unlinked(part.title)}</a></li>`)
          .join("")
      }</ul>`;
    return `<li><a href="#${anchor}">${unlinked(title)}</a>${inner}</li>`;
  });
  return `<nav class="contents" aria-labelledby="contents"><h2 id="contents">Contents</h2>
<ol>${entries.join("\n")}</ol></nav>`;
}

/** A heading's HTML without links, which may not stand within another. */
function unlinked(html: string): string {
  return html.replace(/<\/?a\b[^>]*>/g, "");
}
