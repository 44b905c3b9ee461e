import { verdictSentence } from "../show/mod.ts";
import {
  cellAnchor,
  figurePointer,
  figureTree,
  findingTree,
  noteAnchor,
  noteTree,
  origin,
  tableItemTree,
} from "./items-on-page.ts";
import type {
  FigureItem,
  FindingItem,
  NoteItem,
  Placed,
  ReportModel,
  TableItem,
} from "../model/mod.ts";
import { markdownTree, safeDrawing } from "../markup/mod.ts";
import { type CellOutput, describeFailure, type NotebookRun } from "../notebooks/mod.ts";
import { type Content, type Element, flat, h } from "../tree/mod.ts";

/** A section of the page with its place in the list of contents. */
export interface Section {
  anchor: string;
  title: Content;
  content: Element;
  parts: { anchor: string; title: Content }[];
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
  let title: Content = notebook.title;
  let titled = false;
  let cell = 0;
  const blocks = notebook.cells.map((entry, index): Content => {
    if (entry.cell_type === "raw") return null;
    if (entry.cell_type === "markdown") {
      const { heading, rest } = titled
        ? { heading: "", rest: entry.source }
        : splitTitle(entry.source);
      if (heading) {
        titled = true;
        title = inlineMarkdown(heading);
      }
      return markdownTree(rest, {
        shift: 1,
        prefix: `${notebook.id}-${index}`,
        onHeading: ({ depth, content, anchor }) => {
          if (depth === 3) parts.push({ anchor, title: content });
        },
      });
    }
    cell++;
    const shown = outputs[cell - 1] ?? [];
    return [
      codeTree(entry.source, notebook.id, cell),
      shown.map((output) => outputTree(output, { model, notebook: notebook.id, cell, shownAbove })),
    ];
  });
  const found = sectionFinding(notebook.id, model);
  return {
    anchor,
    title,
    parts,
    content: h(
      "section.notebook",
      { id: anchor, class: failure && "incomplete" },
      h(
        "div.head",
        {},
        h("h2", {}, title, found.length > 0 && [" ", h("span.found", {}, found)]),
      ),
      h(
        "div.body",
        {},
        failure && h(
          "p.failed",
          { role: "alert" },
          h("b", {}, "This notebook did not run to its end."),
          ` ${describeFailure(failure)}. What follows is incomplete.`,
        ),
        blocks,
      ),
    ),
  };
}

/**
 * What a notebook found, for its heading, each sentence leading to where it was recorded: what it says
 * in short, else the verdicts of its adjusted findings, else how sure it is.
 */
function sectionFinding(notebook: string, { items }: ReportModel): Content[] {
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
    .map(({ anchor, text }, i) => [
      i > 0 && " ",
      h("a.number", { href: `#${anchor}` }, text),
    ]);
}

function codeTree(source: string, notebook: string, cell: number): Content {
  if (source.trim() === "") return null;
  return h(
    "details.code",
    { id: cellAnchor(notebook, cell) },
    h("summary", {}, `Code, cell ${cell}`),
    h("pre", { tabindex: 0 }, h("code", {}, source)),
  );
}

function printed(kind: string, text: string): Element {
  return h("pre.printed", { class: kind, tabindex: 0 }, text);
}

function outputTree(
  output: CellOutput,
  place: { model: ReportModel; notebook: string; cell: number; shownAbove: string | undefined },
): Content {
  const { model, shownAbove } = place;
  if (output.type === "stream") return printed(output.name, output.text);
  if (output.type === "error") return printed("error", output.message);
  if (model.items.repeated.has(output)) return null;
  const placed = model.items.byOutput.get(output);
  switch (placed?.item.kind) {
    case "figure":
      return placed.item.id === shownAbove
        ? figurePointer(placed as Placed<FigureItem>)
        : figureTree(placed as Placed<FigureItem>, model, { anchor: true });
    case "table":
      return tableItemTree(placed as Placed<TableItem>, model);
    case "finding":
      return findingTree(placed as Placed<FindingItem>, model);
    case "note":
      return noteTree(placed as Placed<NoteItem>, model);
  }
  const text = output.bundle["text/plain"];
  // a sentence with numbers in it says where they are from
  const from = typeof text === "string" && /\d/.test(text) && "text/markdown" in output.bundle;
  return [mediaTree(output.bundle), from && h("p.from-cell", {}, origin(place, model))];
}

/** Anything else a cell showed: a drawing if it is one, else its text. HTML is never passed on. */
function mediaTree(bundle: Record<string, unknown>): Content {
  const svg = bundle["image/svg+xml"];
  const drawing = typeof svg === "string" ? safeDrawing(svg) : undefined;
  if (drawing) return h("figure.figure", {}, h("div.drawing", {}, drawing));
  const markdown = bundle["text/markdown"];
  if (typeof markdown === "string") return markdownTree(markdown, { shift: 2, prefix: "shown" });
  const text = bundle["text/plain"];
  return typeof text === "string" && printed("", text);
}

/** Takes a leading heading off a cell: it becomes the section's. */
function splitTitle(source: string): { heading: string; rest: string } {
  const found = /^\s*#{1,6}\s+(.+?)\s*#*\s*(?:\n|$)/.exec(source);
  return found
    ? { heading: found[1] ?? "", rest: source.slice(found[0].length) }
    : { heading: "", rest: source };
}

function inlineMarkdown(text: string): Content {
  return flat(markdownTree(text, { shift: 0, prefix: "title" })).map((node) =>
    node.type === "element" && node.tagName === "p" ? node.children : node
  );
}
