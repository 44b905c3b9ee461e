import { sentence } from "../show/mod.ts";
import { methodAnchor } from "../page/mod.ts";
import { type Method, methodAreas, workNumber, workText } from "../methods/mod.ts";
import { plannedButNotDone, type ReportModel } from "../model/mod.ts";
import { type Content, type Element, h } from "../tree/mod.ts";

/**
 * The methods that the notebooks used, as a paragraph for each part of the analysis, with the
 * numbers of the works they rest on.
 */
export function methodsRunTree(model: ReportModel): Content {
  const { methods } = model;
  if (methods.methods.length === 0) return h("p", {}, "No method of the library was used.");
  const tell = ({ id, sentence, sources }: Method) =>
    h(
      "span.method",
      { id: methodAnchor(id) },
      `${sentence} [`,
      sources.map((key, i) => {
        const number = workNumber(methods, key);
        return [i > 0 && ", ", h("a", { href: `#work-${number}` }, number)];
      }),
      "]",
    );
  const paragraphs = Object.entries(methodAreas).flatMap(([area, heading]) => {
    const told = methods.methods.filter((method) => method.area === area).map(tell);
    if (told.length === 0) return [];
    return [
      h(
        "p",
        { id: areaAnchor(area) },
        h("b", {}, `${heading}.`),
        told.map((method) => [" ", method]),
      ),
    ];
  });
  return [
    h(
      "p",
      {},
      "Written from what the notebooks called when they ran; a method that is not here was not used.",
    ),
    paragraphs,
  ];
}

/** The anchor of the paragraph on one part of the analysis. */
export function areaAnchor(area: string): string {
  return `methods-${area}`;
}

/** The works that the methods used rest on, numbered as the methods cite them. */
export function worksTree({ methods }: ReportModel): Element {
  if (methods.works.length === 0) return h("p", {}, "No method of the library was used.");
  return h(
    "ol.works",
    {},
    methods.works.map((key, index) => h("li", { id: `work-${index + 1}` }, workText(key))),
  );
}

/**
 * Departures from the plan: those the study file and the notebooks state, and what was not done.
 */
export function deviationsTree(model: ReportModel): Content {
  const stated = [
    ...model.study.deviations.map(({ what, why }) => `${sentence(what)} ${sentence(why)}`),
    ...model.items.notes.filter(({ item }) => item.about === "deviation")
      .map(({ item }) => item.text),
  ];
  const undone = plannedButNotDone(model).map((id) => `Planned but not done: ${id}.`);
  const lines = [...stated, ...undone];
  return [
    h(
      "p",
      {},
      lines.length === 0 && "The study file states none, and everything it plans was done.",
      " Results marked ",
      h("a", { href: "#planned" }, "exploratory"),
      " were not planned.",
    ),
    lines.length > 0 && h("ul", {}, lines.map((line) => h("li", {}, line))),
  ];
}
