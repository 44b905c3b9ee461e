import {
  escapeHtml,
  findingSentence,
  tableHtml,
  type TableInput,
  verdictSentence,
} from "../show/mod.ts";
import type { Comparison } from "./runs.ts";
import type { FinishedRun } from "./read.ts";
import { styleSheet } from "../page/mod.ts";

/** A comparison as one HTML file in the report's manner: no script, no request to anywhere. */
export function comparisonHtml(comparison: Comparison): string {
  const { a, b, summary } = comparison;
  const sections = [
    section("inputs", "What went in", inputsHtml(comparison)),
    section("plan", "The plan", planHtml(comparison)),
    section("counts", "Counts", countsHtml(comparison)),
    section("estimates", "Estimates", estimatesHtml(comparison)),
    section("tables", "Tables", tablesHtml(comparison)),
  ];
  return `<!doctype html>
<html lang="en">
<head>
<meta charset="utf-8">
<meta name="viewport" content="width=device-width, initial-scale=1">
<meta http-equiv="Content-Security-Policy" content="default-src 'none'; style-src 'unsafe-inline'; img-src data:; base-uri 'none'; form-action 'none'">
<meta name="color-scheme" content="light dark">
<meta name="description" content="${escapeHtml(summary)}">
<title>Two runs compared</title>
<style>${styleSheet()}</style>
</head>
<body>
<a class="skip" href="#inputs">To the comparison</a>
<main>
${incomplete(comparison)}
<header class="first">
<p class="overline">Two runs compared</p>
<h1>${escapeHtml(summary)}</h1>
<dl class="protocol" style="margin-top:1.5rem">
${runLine("A", a)}
${runLine("B", b)}
</dl>
</header>
${sections.join("\n")}
</main>
<footer><p>Results of groups, not advice for one patient.</p></footer>
</body>
</html>
`;
}

function runLine(letter: string, { name, plan, manifest }: FinishedRun): string {
  const { title, centre } = plan;
  return `<div><dt>Run ${letter}</dt><dd>${escapeHtml(String(title ?? manifest.study))}. ${
    escapeHtml(String(centre ?? ""))
  }. <span class="quiet">Folder ${escapeHtml(name)}, seed ${manifest.seed}.</span></dd></div>`;
}

function incomplete({ a, b }: Comparison): string {
  const runs = [["A", a], ["B", b]] as const;
  const failed = runs.filter(([, run]) => !run.manifest.complete).map(([letter]) =>
    `run ${letter}`
  );
  if (failed.length === 0) return "";
  return `<div class="failed banner" role="alert"><p><b>Not complete: ${
    failed.join(" and ")
  }.</b> What is missing there is missing here.</p></div>`;
}

function inputsHtml({ inputs, versions }: Comparison): string {
  return table(inputs) + (versions ? table(versions) : "<p>All versions are the same.</p>");
}

function planHtml({ plan }: Comparison): string {
  return plan ? table(plan) : "<p>The plans are the same, field by field.</p>";
}

function countsHtml({ flow, withoutFlow }: Comparison): string {
  if (withoutFlow.length > 0) {
    const runs = withoutFlow.map((letter) => `run ${letter}`).join(" and ");
    return `<p>There is no flow of patients in ${runs}: nothing can be compared.</p>`;
  }
  return flow ? table(flow) : "<p>The flow of patients is the same in both runs.</p>";
}

function estimatesHtml({ a, b, estimates }: Comparison): string {
  if (!estimates) return "<p>Neither run recorded a finding.</p>";
  const said = ([["A", a], ["B", b]] as const).flatMap(([letter, run]) =>
    run.findings.filter(({ headline }) => headline).map((finding) =>
      `<p><b>Run ${letter}. ${escapeHtml(verdictSentence(finding))}</b> ${
        escapeHtml(findingSentence(finding))
      }</p>`
    )
  );
  return `${said.join("\n")}\n${table(estimates)}`;
}

function tablesHtml({ tables, onlyA, onlyB, same, figures }: Comparison): string {
  const list = (words: string, ids: string[]) =>
    ids.length === 0 ? "" : `<p>${words}: ${escapeHtml(ids.join(", "))}.</p>`;
  const count = same === 1 ? "One table is" : `${same} tables are`;
  return [
    `<p>${count} the same in both runs. Of the others, the rows that differ stand below, run A above run B.</p>`,
    list("Tables that only run A has", onlyA),
    list("Tables that only run B has", onlyB),
    list("Figures that are not the same drawing", figures),
    ...tables.map((input) => folded(input, tables.length <= mostOpen)),
  ].join("\n");
}

/** Tables that stand open; where more differ, each opens at a touch. */
const mostOpen = 3;

function folded(input: TableInput, open: boolean): string {
  const [first = ""] = input.notes ?? [];
  return `<details${open ? " open" : ""}><summary><b>${escapeHtml(input.title)}.</b> ${
    escapeHtml(first)
  }</summary>\n${table(input)}\n</details>`;
}

function section(anchor: string, title: string, html: string): string {
  return `<section id="${anchor}" class="standing"><div class="head"><h2>${title}</h2></div>\n` +
    `<div class="body">\n${html}\n</div></section>`;
}

function table(input: TableInput): string {
  const size = input.rows.length > 24 ? "table long" : "table";
  return `<figure id="table-${escapeHtml(input.id)}" class="${size}">
<figcaption><b>${escapeHtml(input.title)}.</b> ${escapeHtml(input.caption)}</figcaption>
<div class="scroll" role="region" tabindex="0" aria-label="${escapeHtml(input.title)}">${
    tableHtml({ ...input, notes: [] }, { caption: "none" })
  }</div>
${(input.notes ?? []).map((line) => `<p class="table-note">${escapeHtml(line)}</p>`).join("\n")}
</figure>`;
}
