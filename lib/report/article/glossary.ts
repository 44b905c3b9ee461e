import { type Element, h } from "../tree/mod.ts";

/** Terms and abbreviations that a reader may not know, in the words of a colleague. */
export const glossary: readonly [term: string, meaning: string, pattern: RegExp][] = [
  [
    "Plausible range",
    "The confidence interval: values outside it fit these data poorly. It allows for chance alone.",
    /plausible range/i,
  ],
  [
    "Matched pairs",
    "Each repaired patient beside a replaced one with nearly the same chance of repair; patients without a partner are left out.",
    /matched|pairs/i,
  ],
  [
    "Weighted groups",
    "Some patients count more than others, so that the groups become alike in what was measured, and like the patients whom the report is about.",
    /weighted/i,
  ],
  [
    "Propensity score",
    "A patient’s chance of repair, judged from what was known before the operation.",
    /propensity/i,
  ],
  [
    "Standardised difference",
    "How far apart two groups are in a characteristic, in standard deviations; below 0.1 counts as alike.",
    /standardi[sz]ed difference|\bSD\b/i,
  ],
  [
    "Cumulative incidence",
    "The share of patients who had the event by a time, patients who died first counted as not having had it.",
    /cumulative incidence|competing/i,
  ],
  [
    "At risk",
    "Patients still followed and free of the event at that time.",
    /at risk/i,
  ],
  [
    "Hazard ratio",
    "How much faster events come in one group than in the other, while patients are still at risk.",
    /hazard ratio/i,
  ],
  [
    "Kaplan-Meier estimate",
    "The share still alive, or free of an event, worked out although some were followed for less time.",
    /kaplan/i,
  ],
  [
    "E-value",
    "How strongly something unmeasured would have to be tied to both the operation and the outcome to explain the result away.",
    /e-value/i,
  ],
  [
    "Planned",
    "Named in the study file. Whether that was before outcomes were known: see Methods.",
    /planned/i,
  ],
  [
    "Exploratory",
    "Not named in the plan: it suggests a question and answers none.",
    /exploratory/i,
  ],
  ["EF", "Ejection fraction of the left ventricle.", /\bEF\b|ejection fraction/i],
  [
    "NYHA class",
    "How much breathlessness limits a patient, from 1 (not) to 4 (at rest).",
    /NYHA/,
  ],
  [
    "Tethering",
    "Leaflets held down into the ventricle; measured as coaptation depth.",
    /tether/i,
  ],
];

/** The glossary entries of a page, each with the anchor that its term leads to. */
export function glossaryTree(pageWords: string): Element {
  const used = glossary.filter(([, , pattern]) => pattern.test(pageWords));
  return h(
    "section.part.terms#terms",
    { ariaLabelledBy: "terms-heading" },
    h(
      "div.head",
      {},
      h("p.topic", {}, "Words"),
      h("h2#terms-heading", {}, "Terms and abbreviations used here"),
    ),
    h(
      "div.body",
      {},
      h(
        "dl",
        {},
        used.map(([term, meaning], i) =>
          h("div", { id: `term-${i + 1}` }, h("dt", {}, term), h("dd", {}, meaning))
        ),
      ),
    ),
  );
}

/**
 * Makes the first mention of each term in the paragraphs and captions of a page a link to its
 * entry, which shows where it is tapped.
 */
export function linkTerms(sections: readonly Element[], pageWords: string): Element[] {
  const open = new Map(
    glossary.filter(([, , pattern]) => pattern.test(pageWords))
      .map(([, , pattern], i) => [`term-${i + 1}`, pattern]),
  );
  const within = (element: Element, inProse: boolean): Element => ({
    ...element,
    children: element.children.flatMap((child) => {
      if (child.type === "element") {
        if (closed.has(child.tagName)) return [child];
        return [within(child, inProse || prose.has(child.tagName))];
      }
      return child.type === "text" && inProse ? linked(child.value, open) : [child];
    }),
  });
  return sections.map((section) => within(section, false));
}

/** Where a link would be lost, or stand within another. */
const closed = new Set(["a", "b", "svg", "table", "h1", "h2", "h3", "template", "button"]);
const prose = new Set(["p", "figcaption", "li", "dd"]);

function linked(text: string, open: Map<string, RegExp>): Element["children"] {
  for (const [anchor, pattern] of open) {
    const found = pattern.exec(text);
    if (!found) continue;
    open.delete(anchor);
    const [word] = found;
    return [
      ...linked(text.slice(0, found.index), open),
      h("a.term", { href: `#${anchor}` }, word),
      ...linked(text.slice(found.index + word.length), open),
    ];
  }
  return text === "" ? [] : [{ type: "text", value: text }];
}
