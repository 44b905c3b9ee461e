import { escapeHtml, verdictSentence } from "../show/mod.ts";
import {
  cellAnchor,
  figureHtml,
  figurePointer,
  findingHtml,
  noteAnchor,
  noteHtml,
  origin,
  tableItemHtml,
} from "./items-on-page.ts";
import type {
  FigureItem,
  FindingItem,
  NoteItem,
  Placed,
  ReportModel,
  TableItem,
} from "../model/mod.ts";
import { markdownHtml } from "./markdown.ts";
import { type CellOutput, describeFailure, type NotebookRun } from "../notebooks/mod.ts";
import { safeSvg } from "./safe-svg.ts";

/** A section of the page with its place in the list of contents. */
export interface Section {
  anchor: string;
  /** Heading, as HTML. */
  title: string;
  html: string;
  parts: { anchor: string; title: string }[];
}

/**
 * One notebook as a section: its prose, what its cells showed, its code folded.
 *
 * @param shownAbove Id of the figure that the first screen shows.
 */
export function notebookSection(
  run: NotebookRun,
  model: ReportModel,
  shownAbove: string | undefined,
): Section {
  const { notebook, outputs, failure } = run;
  const parts: Section["parts"] = [];
  const anchor = `notebook-${notebook.id}`;
  let title = escapeHtml(notebook.title);
  let titled = false;
  let cell = 0;
  const blocks = notebook.cells.map((entry, index) => {
    if (entry.cell_type === "raw") return "";
    if (entry.cell_type === "markdown") {
      const { heading, rest } = titled
        ? { heading: "", rest: entry.source }
        : splitTitle(entry.source);
      if (heading) {
        titled = true;
        title = inlineMarkdown(heading);
      }
      return markdownHtml(rest, {
        shift: 1,
        prefix: `${notebook.id}-${index}`,
        onHeading: ({ depth, html, anchor }) => {
          if (depth === 3) parts.push({ anchor, title: html });
        },
      });
    }
    cell++;
    const shown = outputs[cell - 1] ?? [];
    return codeHtml(entry.source, notebook.id, cell) +
      shown.map((output) => outputHtml(output, { model, notebook: notebook.id, cell, shownAbove }))
        .join("\n");
  });
  const failed = failure
    ? `<p class="failed" role="alert"><b>This notebook did not run to its end.</b> ${
      escapeHtml(describeFailure(failure))
    }. What follows is incomplete.</p>`
    : "";
  const found = sectionFinding(notebook.id, model);
  return {
    anchor,
    title,
    parts,
    html: `<section id="${anchor}" class="notebook${failure ? " incomplete" : ""}">
<div class="head"><h2>${title}${found ? ` <span class="found">${found}</span>` : ""}</h2></div>
<div class="body">
${failed}${blocks.join("\n")}
</div></section>`,
  };
}

/**
 * What a notebook found, for its heading, each sentence leading to where it was recorded: what it says
 * in short, else the verdicts of its adjusted findings, else how sure it is.
 */
function sectionFinding(notebook: string, { items }: ReportModel): string {
  const notes = (about: NoteItem["about"]) =>
    items.notes.filter((placed) => placed.notebook === notebook && placed.item.about === about)
      .map(({ item }) => ({ anchor: noteAnchor(item), text: item.text }));
  const verdicts = items.findings.filter((placed) => placed.notebook === notebook)
    .filter(({ item }) => item.design !== "unadjusted")
    .map(({ item }) => ({ anchor: `finding-${item.id}`, text: verdictSentence(item) }));
  const lists = [notes("summary"), verdicts, notes("certainty")];
  const told = lists.find((lines) => lines.length > 0) ?? [];
  return told.filter(({ text }, i) => told.findIndex((other) => other.text === text) === i)
    .slice(0, 2)
    .map(({ anchor, text }) => `<a class="number" href="#${anchor}">${escapeHtml(text)}</a>`)
    .join(" ");
}

function codeHtml(source: string, notebook: string, cell: number): string {
  if (source.trim() === "") return "";
  return `<details class="code" id="${
    cellAnchor(notebook, cell)
  }"><summary>Code, cell ${cell}</summary>
<pre tabindex="0"><code>${escapeHtml(source)}</code></pre></details>\n`;
}

function outputHtml(
  output: CellOutput,
  place: { model: ReportModel; notebook: string; cell: number; shownAbove: string | undefined },
): string {
  const { model, shownAbove } = place;
  if (output.type === "stream") {
    return `<pre class="printed ${output.name}" tabindex="0">${escapeHtml(output.text)}</pre>`;
  }
  if (output.type === "error") {
    return `<pre class="printed error" tabindex="0">${escapeHtml(output.message)}</pre>`;
  }
  const placed = model.items.byOutput.get(output);
  switch (placed?.item.kind) {
    case "figure":
      return placed.item.id === shownAbove
        ? figurePointer(placed as Placed<FigureItem>)
        : figureHtml(placed as Placed<FigureItem>, model, { anchor: true });
    case "table":
      return tableItemHtml(placed as Placed<TableItem>, model);
    case "finding":
      return findingHtml(placed as Placed<FindingItem>, model);
    case "note":
      return noteHtml(placed as Placed<NoteItem>, model);
  }
  const text = output.bundle["text/plain"];
  // a sentence with numbers in it says where they are from
  const from = typeof text === "string" && /\d/.test(text) && "text/markdown" in output.bundle
    ? `<p class="from-cell">${origin(place, model)}</p>`
    : "";
  return mediaHtml(output.bundle) + from;
}

/** Anything else a cell showed: a drawing if it is one, else its text. HTML is never passed on. */
function mediaHtml(bundle: Record<string, unknown>): string {
  const drawing = bundle["image/svg+xml"];
  const svg = typeof drawing === "string" ? safeSvg(drawing) : undefined;
  if (svg) return `<figure class="figure"><div class="drawing">${svg}</div></figure>`;
  const markdown = bundle["text/markdown"];
  if (typeof markdown === "string") return markdownHtml(markdown, { shift: 2, prefix: "shown" });
  const text = bundle["text/plain"];
  return typeof text === "string"
    ? `<pre class="printed" tabindex="0">${escapeHtml(text)}</pre>`
    : "";
}

/** Takes a leading heading off a cell: it becomes the section's. */
function splitTitle(source: string): { heading: string; rest: string } {
  const found = /^\s*#{1,6}\s+(.+?)\s*#*\s*(?:\n|$)/.exec(source);
  return found
    ? { heading: found[1] ?? "", rest: source.slice(found[0].length) }
    : { heading: "", rest: source };
}

function inlineMarkdown(text: string): string {
  return markdownHtml(text, { shift: 0, prefix: "title" }).trim().replace(/^<p>|<\/p>$/g, "");
}
