import { findingSentence, tableTree, verdictSentence } from "../show/mod.ts";
import type { TableInput } from "../items/mod.ts";
import type { Comparison } from "./runs.ts";
import type { FinishedRun } from "./read.ts";
import { documentHtml, sectionTree } from "../markup/mod.ts";
import { scrolling } from "../page/mod.ts";
import { type Content, type Element, h } from "../tree/mod.ts";

/** A comparison as one HTML file in the report's manner: no script, no request to anywhere. */
export function comparisonHtml(comparison: Comparison): string {
  const { a, b, summary } = comparison;
  return documentHtml({
    title: "Two runs compared",
    description: summary,
    body: [
      h("a.skip", { href: "#inputs" }, "To the comparison"),
      h(
        "main",
        {},
        incomplete(comparison),
        h(
          "header.first",
          {},
          h("p.overline", {}, "Two runs compared"),
          h("h1", {}, summary),
          h("dl.protocol.runs", {}, runLine("A", a), runLine("B", b)),
        ),
        sectionTree("inputs", "What went in", inputsTree(comparison)),
        sectionTree("plan", "The plan", planTree(comparison)),
        sectionTree("counts", "Counts", countsTree(comparison)),
        sectionTree("estimates", "Estimates", estimatesTree(comparison)),
        sectionTree("tables", "Tables", tablesTree(comparison)),
      ),
      h("footer", {}, h("p", {}, "Results of groups, not advice for one patient.")),
    ],
  });
}

function runLine(letter: string, { name, plan, manifest }: FinishedRun): Element {
  const { title, centre } = plan;
  return h(
    "div",
    {},
    h("dt", {}, `Run ${letter}`),
    h(
      "dd",
      {},
      `${String(title ?? manifest.study)}. ${String(centre ?? "")}. `,
      h("span.quiet", {}, `Folder ${name}, seed ${manifest.seed}.`),
    ),
  );
}

function incomplete({ a, b }: Comparison): Content {
  const runs = [["A", a], ["B", b]] as const;
  const failed = runs.filter(([, run]) => !run.manifest.complete).map(([letter]) =>
    `run ${letter}`
  );
  if (failed.length === 0) return null;
  return h(
    "div.failed.banner",
    { role: "alert" },
    h(
      "p",
      {},
      h("b", {}, `Not complete: ${failed.join(" and ")}.`),
      " What is missing there is missing here.",
    ),
  );
}

function inputsTree({ inputs, versions }: Comparison): Content {
  return [
    tableFigure(inputs),
    versions ? tableFigure(versions) : h("p", {}, "All versions are the same."),
  ];
}

function planTree({ plan }: Comparison): Element {
  return plan ? tableFigure(plan) : h("p", {}, "The plans are the same, field by field.");
}

function countsTree({ flow, withoutFlow }: Comparison): Element {
  if (withoutFlow.length > 0) {
    const runs = withoutFlow.map((letter) => `run ${letter}`).join(" and ");
    return h("p", {}, `There is no flow of patients in ${runs}: nothing can be compared.`);
  }
  return flow ? tableFigure(flow) : h("p", {}, "The flow of patients is the same in both runs.");
}

function estimatesTree({ a, b, estimates }: Comparison): Content {
  if (!estimates) return h("p", {}, "Neither run recorded a finding.");
  const said = ([["A", a], ["B", b]] as const).flatMap(([letter, run]) =>
    run.findings.filter(({ headline }) => headline).map((finding) =>
      h(
        "p",
        {},
        h("b", {}, `Run ${letter}. ${verdictSentence(finding)}`),
        ` ${findingSentence(finding)}`,
      )
    )
  );
  return [said, tableFigure(estimates)];
}

function tablesTree({ tables, onlyA, onlyB, same, figures }: Comparison): Content {
  const list = (words: string, ids: string[]) =>
    ids.length > 0 && h("p", {}, `${words}: ${ids.join(", ")}.`);
  const count = same === 1 ? "One table is" : `${same} tables are`;
  return [
    h(
      "p",
      {},
      `${count} the same in both runs. Of the others, the rows that differ stand below, run A above run B.`,
    ),
    list("Tables that only run A has", onlyA),
    list("Tables that only run B has", onlyB),
    list("Figures that are not the same drawing", figures),
    tables.map((input) => folded(input, tables.length <= mostOpen)),
  ];
}

/** Tables that stand open; where more differ, each opens at a touch. */
const mostOpen = 3;

function folded(input: TableInput, open: boolean): Element {
  const [first = ""] = input.notes ?? [];
  return h(
    "details",
    { open },
    h("summary", {}, h("b", {}, `${input.title}.`), ` ${first}`),
    tableFigure(input),
  );
}

function tableFigure(input: TableInput): Element {
  return h(
    "figure.table",
    { id: `table-${input.id}`, class: input.rows.length > 24 && "long" },
    h("figcaption", {}, h("b", {}, `${input.title}.`), ` ${input.caption}`),
    scrolling(input.title, tableTree({ ...input, notes: [] }, { caption: "none" })),
    (input.notes ?? []).map((line) => h("p.table-note", {}, line)),
  );
}
