import { uncapitalized } from "../../words/mod.ts";
import { findingParts, sentence, verdictSentence } from "../show/mod.ts";
import {
  type FigureItem,
  type FindingItem,
  type NoteItem,
  type Placed,
  type PlanStatus,
  statusOfFigure,
  type TableItem,
  tableOf,
} from "../model/mod.ts";
import { drawingOnPage } from "../markup/mod.ts";
import { anchorOf, type Place, rowAnchor } from "./place.ts";
import { tableOnPage } from "./table-on-page.ts";
import { type Content, type Element, h } from "../tree/mod.ts";

/** A figure with its number, caption and the way to its table, its cell and its methods. */
export function figureTree(placed: Placed<FigureItem>, place: Place): Element {
  const { item } = placed;
  const { model } = place;
  const drawing = drawingOnPage(item.svg) ??
    h("p.missing", {}, "This figure is not an SVG drawing.");
  const table = tableOf(model.items, item.tableId);
  const { version } = item;
  return h(
    "figure.figure",
    { id: anchorOf(item), dataVersionOf: version?.of, dataDesign: version?.design },
    h("div.drawing", { role: "group", ariaLabel: item.alt }, drawing),
    h(
      "figcaption",
      {},
      h("b", {}, `${place.nameOf(placed)}. ${sentence(item.title)}`),
      ` ${item.caption}`,
      table && [
        " ",
        h(
          "a",
          { href: place.href(anchorOf(table.item)) },
          `Its numbers are in ${uncapitalized(place.nameOf(table))}`,
        ),
        ".",
      ],
      " ",
      statusBadge(statusOfFigure(item, model)),
      " ",
      origin(placed, place),
    ),
  );
}

/** A table in a box that scrolls by itself where the page is narrow. */
export function tableItemTree(placed: Placed<TableItem>, place: Place): Element {
  const { item } = placed;
  const name = place.nameOf(placed);
  return h(
    "figure.table",
    { id: anchorOf(item), class: item.rows.length > 24 && "long" },
    h(
      "figcaption",
      {},
      h("b", {}, `${name}. ${sentence(item.title)}`),
      ` ${item.caption} `,
      statusBadge(item.status),
      " ",
      origin(placed, place),
    ),
    scrolling(
      `${name}. ${item.title}`,
      tableOnPage(item),
    ),
    (item.notes ?? []).map((line) => h("p.table-note", {}, line)),
  );
}

/** A box that scrolls by itself where the page is narrow, and can be reached by the keyboard. */
export function scrolling(label: string, ...content: Content[]): Element {
  return h("div.scroll", { role: "region", tabindex: 0, ariaLabel: label }, content);
}

/** A finding where the notebook recorded it. */
export function findingTree(placed: Placed<FindingItem>, place: Place): Element {
  const { item } = placed;
  const table = tableOf(place.model.items, item.tableId);
  return h(
    "aside.finding-note",
    { id: anchorOf(item) },
    h(
      "p",
      {},
      h("b", {}, verdictSentence(item)),
      " ",
      sentenceTree(item, place),
      table && [" ", h("a", { href: place.href(anchorOf(table.item)) }, place.nameOf(table)), "."],
      " ",
      statusBadge(item.status),
      " ",
      origin(placed, place),
    ),
  );
}

/**
 * A finding's sentence in which every number is a link to the row of the table that it came from:
 * the rows of the finding's horizon, first group, second group, difference, as `contrastTable` has
 * them; to the table itself where it is laid out otherwise.
 */
export function sentenceTree(item: FindingItem, { model, href }: Place): Content {
  const table = tableOf(model.items, item.tableId)?.item;
  const rows = (table?.rows ?? []).flatMap((row, index) =>
    row.years === item.horizon ? [index] : []
  );
  const anchors = rows.length === 3
    ? rows.map((row) => rowAnchor(item.tableId, row))
    : Array<string>(3).fill(`table-${item.tableId}`);
  const anchorOfPart = { first: anchors[0], second: anchors[1], difference: anchors[2] };
  return findingParts(item).map((part) => {
    if (typeof part === "string") return part;
    const anchor = anchorOfPart[part.of];
    return table && anchor ? h("a.number", { href: href(anchor) }, part.number) : part.number;
  });
}

/** A note where the notebook recorded it. */
export function noteTree(placed: Placed<NoteItem>, place: Place): Element {
  const { item } = placed;
  return h(
    "aside.note",
    { id: anchorOf(item) },
    h(
      "p",
      {},
      h("b", {}, `${noteNames[item.about]}.`),
      ` ${item.text}`,
      /\d/.test(item.text) && [" ", origin(placed, place)],
    ),
  );
}

/** Planned or exploratory, as a word in a box. */
export function statusBadge(status: PlanStatus): Element {
  return h(`span.badge.${status}`, {}, status);
}

/** The anchor of a cell's code. */
export function cellAnchor(notebook: string, cell: number): string {
  return `code-${notebook}-${cell}`;
}

/** The anchor of a method in the methods section. */
export function methodAnchor(id: string): string {
  return `method-${id}`;
}

/**
 * Where something shown comes from: the cell that computed it and, in the supplement, the methods
 * behind it.
 */
export function origin(at: { notebook: string; cell: number }, place: Place): Element {
  const { notebook, cell } = at;
  const href = place.href(cellAnchor(notebook, cell));
  if (!place.full) return h("span.source", {}, h("a", { href }, "How it was worked out"));
  const methods = place.model.methods.behind(at);
  return h(
    "span.source",
    {},
    "From ",
    h("a", { href }, `${notebook}, cell ${cell}`),
    methods.length > 0 && "; by ",
    methods.map(({ id, label }, i) => [
      i > 0 && ", ",
      h("a", { href: place.href(methodAnchor(id)) }, label),
    ]),
  );
}

const noteNames: Record<NoteItem["about"], string> = {
  summary: "In short",
  certainty: "How sure",
  "cannot-tell": "What this cannot tell",
  caution: "Caution",
  deviation: "Departure from the plan",
  warning: "Warning",
};
