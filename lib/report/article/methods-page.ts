import { methodAreas } from "../methods/mod.ts";
import { type Place, supplementFile } from "../page/mod.ts";
import { lockWords } from "../lock/mod.ts";
import { areaAnchor, planLines } from "../supplement/mod.ts";
import { capitalized } from "../../words/mod.ts";
import { type Element, h } from "../tree/mod.ts";

/** Lines of the plan that an article needs; the supplement has every one. */
const told = new Set([
  "Eligible",
  "Compared",
  "Time zero",
  "Endpoints",
  "Population the results apply to",
  "Adjusted for",
  "Matching",
  "Weighting",
  "Uncertainty",
]);

/**
 * The methods in a page: the plan in words, and which methods were used, each part of the analysis
 * with its way to their sentences and sources.
 */
export function methodsPage(place: Place): Element {
  const { model } = place;
  const { study, methods } = model;
  const areas = Object.entries(methodAreas).flatMap(([area, heading]) => {
    const used = methods.methods.filter((method) => method.area === area);
    return used.length === 0 ? [] : [{ area, heading, used }];
  });
  return h(
    "section.part#methods",
    { ariaLabelledBy: "methods-heading" },
    h(
      "div.head",
      {},
      h("p.topic", {}, "Methods"),
      h(
        "h2#methods-heading",
        {},
        model.lock?.outcomesSeenAt === null
          ? "The plan was fixed before outcomes were compared"
          : "The plan, and what was done by it",
      ),
    ),
    h(
      "div.body",
      {},
      h(
        "p",
        {},
        "What the study file asks for by name is marked ",
        h("span.badge.planned", {}, "planned"),
        ", any other result ",
        h("span.badge.exploratory", {}, "exploratory"),
        ". ",
        lockWords(model),
        " Every method with its source, every departure and the full plan: ",
        h("a", { href: `${supplementFile}#methods` }, "supplement, methods"),
        ".",
      ),
      h(
        "dl.protocol.tight",
        {},
        planLines(study).filter(([term]) => told.has(term)).map(([term, text]) =>
          h("div", {}, h("dt", {}, term), h("dd", {}, text))
        ),
        areas.map(({ area, heading, used }) =>
          h(
            "div",
            {},
            h("dt", {}, h("a", { href: `${supplementFile}#${areaAnchor(area)}` }, heading)),
            h("dd", {}, `${capitalized(used.map(({ label }) => label).join("; "))}.`),
          )
        ),
      ),
    ),
  );
}
