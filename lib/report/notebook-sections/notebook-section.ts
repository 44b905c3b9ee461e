import { verdictSentence } from "../show/mod.ts";
import {
  anchorOf,
  cellAnchor,
  figureTree,
  findingTree,
  noteTree,
  origin,
  type Place,
  type Section,
  tableItemTree,
} from "../page/mod.ts";
import type {
  FigureItem,
  FindingItem,
  NoteItem,
  Placed,
  ReportModel,
  TableItem,
} from "../model/mod.ts";
import { drawingOnPage } from "../markup/mod.ts";
import { notebookProse } from "./notebook-prose.ts";
import { saidOnPage } from "./said-on-page.ts";
import { type CellOutput, describeFailure, type NotebookRun } from "../notebooks/mod.ts";
import { type Content, type Element, h } from "../tree/mod.ts";

/** One notebook as a section: its prose, what its cells showed, its code folded. */
export function notebookSection(run: NotebookRun, place: Place): Section {
  const { notebook, outputs, failure } = run;
  const anchor = `notebook-${notebook.id}`;
  const prose = notebookProse(notebook);
  const title: Content = prose.title ?? notebook.title;
  let cell = 0;
  const blocks = notebook.cells.map((entry, index): Content => {
    if (entry.cell_type === "raw") return null;
    if (entry.cell_type === "markdown") return prose.cells[index];
    cell++;
    const shown = outputs[cell - 1] ?? [];
    const outer = { place, notebook: notebook.id, cell };
    const chatter = shown.filter((output) => isChatter(output, place));
    return [
      codeTree(entry.source, outer, chatter),
      shown.filter((output) => !chatter.includes(output))
        .map((output) => outputTree(output, outer)),
    ];
  });
  const found = sectionFinding(notebook.id, place.model);
  return {
    anchor,
    title,
    parts: prose.parts,
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
 * What a notebook found, for its heading, each sentence leading to where it was recorded: what it
 * says in short, else the verdicts of its adjusted findings, else how sure it is.
 */
function sectionFinding(notebook: string, { items }: ReportModel): Content[] {
  const notes = (about: NoteItem["about"]) =>
    items.notes.filter((placed) => placed.notebook === notebook && placed.item.about === about)
      .map(({ item }) => ({ anchor: anchorOf(item), text: item.text }));
  const verdicts = items.findings.filter((placed) => placed.notebook === notebook)
    .filter(({ item }) => item.design !== "unadjusted")
    .map(({ item }) => ({ anchor: anchorOf(item), text: verdictSentence(item) }));
  const lists = [notes("summary"), verdicts, notes("certainty")];
  const told = lists.find((lines) => lines.length > 0) ?? [];
  return told.filter(({ text }, i) => told.findIndex((other) => other.text === text) === i)
    .slice(0, 2)
    .map(({ anchor, text }, i) => [
      i > 0 && " ",
      h("a.number", { href: `#${anchor}` }, text),
    ]);
}

/** Where a cell stands. */
interface Cell {
  place: Place;
  notebook: string;
  cell: number;
}

/**
 * Whether an output only says that a cell did what it was to do: it stays with the code. What has a
 * number in it, and whatever the report knows how to place, is for every reader.
 */
function isChatter(output: CellOutput, { model }: Place): boolean {
  if (output.type === "stream" || output.type === "error") return false;
  if (model.items.byOutput.has(output) || "image/svg+xml" in output.bundle) return false;
  const text = output.bundle["text/plain"];
  return !("text/markdown" in output.bundle) || (typeof text === "string" && !/\d/.test(text));
}

function codeTree(source: string, at: Cell, chatter: readonly CellOutput[]): Content {
  if (source.trim() === "") return null;
  return h(
    "details.code",
    { id: cellAnchor(at.notebook, at.cell) },
    h("summary", {}, `Code, cell ${at.cell}`),
    h("pre", { tabindex: 0 }, h("code", {}, source)),
    chatter.map((output) => outputTree(output, at)),
  );
}

function printed(kind: string, text: string): Element {
  return h("pre.printed", { class: kind, tabindex: 0 }, text);
}

function outputTree(output: CellOutput, at: Cell): Content {
  const { place } = at;
  if (output.type === "stream") return printed(output.name, output.text);
  if (output.type === "error") return printed("error", output.message);
  if (place.model.items.repeated.has(output)) return null;
  const placed = place.model.items.byOutput.get(output);
  switch (placed?.item.kind) {
    case "figure":
      return figureTree(placed as Placed<FigureItem>, place);
    case "table":
      return tableItemTree(placed as Placed<TableItem>, place);
    case "finding":
      return findingTree(placed as Placed<FindingItem>, place);
    case "note":
      return noteTree(placed as Placed<NoteItem>, place);
  }
  const text = output.bundle["text/plain"];
  // a sentence with numbers in it says where they are from
  const from = typeof text === "string" && /\d/.test(text) && "text/markdown" in output.bundle;
  return [mediaTree(output.bundle), from && h("p.from-cell", {}, origin(at, place))];
}

/** Anything else a cell showed: a drawing if it is one, else its text. HTML is never passed on. */
function mediaTree(bundle: Record<string, unknown>): Content {
  const svg = bundle["image/svg+xml"];
  const drawing = typeof svg === "string" ? drawingOnPage(svg) : undefined;
  if (drawing) return h("figure.figure", {}, h("div.drawing", {}, drawing));
  const markdown = bundle["text/markdown"];
  if (typeof markdown === "string") return saidOnPage(markdown);
  const text = bundle["text/plain"];
  return typeof text === "string" && printed("", text);
}
