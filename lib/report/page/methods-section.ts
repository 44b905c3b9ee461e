import { escapeHtml, sentence } from "../show/mod.ts";
import { methodAnchor } from "./items-on-page.ts";
import { type Method, methodAreas, workNumber, workText } from "../methods/mod.ts";
import { plannedButNotDone, type ReportModel } from "../model/mod.ts";

/** The methods that the notebooks used, as a paragraph for each part of the analysis, with the numbers of the works they rest on. */
export function methodsRunHtml(model: ReportModel): string {
  const { methods } = model;
  if (methods.methods.length === 0) return "<p>No method of the library was used.</p>";
  const tell = ({ id, sentence, sources }: Method) => {
    const numbers = sources.map((key) => {
      const number = workNumber(methods, key);
      return `<a href="#work-${number}">${number}</a>`;
    }).join(", ");
    return `<span class="method" id="${methodAnchor(id)}">${
      escapeHtml(sentence)
    } [${numbers}]</span>`;
  };
  const paragraphs = Object.entries(methodAreas).flatMap(([area, heading]) => {
    const told = methods.methods.filter((method) => method.area === area).map(tell);
    return told.length === 0 ? [] : `<p><b>${heading}.</b> ${told.join(" ")}</p>`;
  });
  return `<p>Written from what the notebooks called when they ran; a method that is not here was not used.</p>
${paragraphs.join("\n")}`;
}

/** The works that the methods used rest on, numbered as the methods cite them. */
export function worksHtml({ methods }: ReportModel): string {
  const items = methods.works.map((key, index) =>
    `<li id="work-${index + 1}">${escapeHtml(workText(key))}</li>`
  );
  return items.length === 0
    ? "<p>No method of the library was used.</p>"
    : `<ol class="works">${items.join("\n")}</ol>`;
}

/** Departures from the plan: those the study file and the notebooks state, and what was not done. */
export function deviationsHtml(model: ReportModel): string {
  const stated = [
    ...model.study.deviations.map(({ what, why }) => `${sentence(what)} ${sentence(why)}`),
    ...model.items.notes.filter(({ item }) => item.about === "deviation")
      .map(({ item }) => item.text),
  ];
  const undone = plannedButNotDone(model).map((id) => `Planned but not done: ${id}.`);
  const lines = [...stated, ...undone];
  const exploratory = 'Results marked <a href="#planned">exploratory</a> go beyond the plan.';
  const body = lines.length === 0
    ? "The study file states none, and everything it plans was done."
    : "";
  const list = lines.map((line) => `<li>${escapeHtml(line)}</li>`).join("\n");
  return `<p>${body} ${exploratory}</p>${list ? `\n<ul>${list}</ul>` : ""}`;
}
