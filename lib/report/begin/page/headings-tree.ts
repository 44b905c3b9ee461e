import type { Question, ShownHeading } from "../../../cohort/begin/mod.ts";
import { sectionTree } from "../../markup/mod.ts";
import { type Element, h } from "../../tree/mod.ts";

/** Every heading of a table: values, what it is taken for, unit, codes, why and how surely. */
export function headingsTree(
  table: string,
  headings: readonly ShownHeading[],
  question: Question | null,
): Element {
  const asked = headings.filter((one) => one.asked === "heading").length;
  return sectionTree(
    `headings-${table}`,
    `The ${table} table`,
    h(
      "p",
      {},
      `${headings.length} headings besides the record numbers; ${headings.length - asked} are ` +
        `beyond doubt, ${asked} are asked about. What is shown here was found by looking; your ` +
        "answers go before it.",
    ),
    h("ul.headings", { role: "list" }, headings.map((one) => headingTree(one, question))),
  );
}

function headingTree(shown: ShownHeading, question: Question | null): Element {
  const { heading, values, meaning, unit, codes, confidence, reasons, asked } = shown;
  const now = question?.about?.heading === heading && question.about.table === shown.table;
  return h(
    "li",
    now ? { "aria-current": "true" } : {},
    h(
      "p.name",
      {},
      h("b", {}, heading),
      " ",
      h(
        `span.badge${asked === "nothing" ? "" : ".exploratory"}`,
        {},
        now ? "asked now" : badges[asked],
      ),
    ),
    factsTree({ values, meaning, unit, codes, confidence, reasons }),
  );
}

const badges = {
  nothing: "beyond doubt",
  values: "values asked about",
  heading: "asked about",
} as const;

/** What is known of a heading, part by part. */
export function factsTree(
  { values, meaning, unit, codes, confidence, reasons }: Pick<
    ShownHeading,
    "values" | "meaning" | "unit" | "codes" | "confidence" | "reasons"
  >,
): Element {
  const facts: [string, string][] = [
    ["Values", values],
    ["Seems to be", meaning ?? "like nothing known"],
    ["Unit", unit],
    ["Codes", codes],
    ["Confidence", meaning === null ? "" : confidence.toFixed(2)],
    ["Why", reasons.join("; ")],
  ];
  return h(
    "dl.facts",
    {},
    facts.filter(([, text]) => text !== "")
      .map(([term, text]) => h("div", {}, h("dt", {}, term), h("dd", {}, text))),
  );
}
