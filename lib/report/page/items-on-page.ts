import { findingParts, sentence, tableTree, verdictSentence } from "../show/mod.ts";
import {
  type FigureItem,
  type FindingItem,
  type NoteItem,
  type Placed,
  type PlanStatus,
  type ReportModel,
  statusOfFigure,
  type TableItem,
  tableOf,
} from "../model/mod.ts";
import { safeDrawing } from "../markup/mod.ts";
import { type Content, type Element, h } from "../tree/mod.ts";

/** A figure with its number, caption and the way to its table, its cell and its methods. */
export function figureTree(
  placed: Placed<FigureItem>,
  model: ReportModel,
  options: { anchor: boolean },
): Element {
  const { item, number } = placed;
  const drawing = safeDrawing(item.svg) ?? h("p.missing", {}, "This figure is not an SVG drawing.");
  const table = tableOf(model.items, item.tableId);
  const { version } = item;
  return h(
    "figure.figure",
    {
      id: options.anchor && `figure-${item.id}`,
      dataVersionOf: version?.of,
      dataDesign: version?.design,
    },
    h("div.drawing", { role: "group", ariaLabel: item.alt }, drawing),
    h(
      "figcaption",
      {},
      h("b", {}, `Figure ${number}. ${sentence(item.title)}`),
      ` ${item.caption}`,
      table && [
        " ",
        h("a", { href: `#table-${table.item.id}` }, `Its numbers are in table ${table.number}`),
        ".",
      ],
      " ",
      statusBadge(statusOfFigure(item, model)),
      " ",
      origin(placed, model),
    ),
  );
}

/** A pointer to a figure that is shown elsewhere on the page. */
export function figurePointer({ item, number }: Placed<FigureItem>): Element {
  return h(
    "p.pointer",
    {},
    h("a", { href: `#figure-${item.id}` }, `Figure ${number}, ${item.title}`),
    ", stands at the head of this report.",
  );
}

/** A table in a box that scrolls by itself where the page is narrow. */
export function tableItemTree(placed: Placed<TableItem>, model: ReportModel): Element {
  const { item, number } = placed;
  return h(
    "figure.table",
    { id: `table-${item.id}`, class: item.rows.length > 24 && "long" },
    h(
      "figcaption",
      {},
      h("b", {}, `Table ${number}. ${sentence(item.title)}`),
      ` ${item.caption} `,
      statusBadge(item.status),
      " ",
      origin(placed, model),
    ),
    scrolling(
      `Table ${number}. ${item.title}`,
      tableTree({ ...item, notes: [] }, { caption: "none", rowId: `row-${item.id}` }),
    ),
    (item.notes ?? []).map((line) => h("p.table-note", {}, line)),
  );
}

/** A box that scrolls by itself where the page is narrow, and can be reached by the keyboard. */
export function scrolling(label: string, ...content: Content[]): Element {
  return h("div.scroll", { role: "region", tabindex: 0, ariaLabel: label }, content);
}

/** A finding where the notebook recorded it. */
export function findingTree(placed: Placed<FindingItem>, model: ReportModel): Element {
  const { item } = placed;
  const table = tableOf(model.items, item.tableId);
  return h(
    "aside.finding-note",
    { id: `finding-${item.id}` },
    h(
      "p",
      {},
      h("b", {}, verdictSentence(item)),
      " ",
      sentenceTree(item, model),
      table && [" ", h("a", { href: `#table-${table.item.id}` }, `Table ${table.number}`), "."],
      " ",
      statusBadge(item.status),
      " ",
      origin(placed, model),
    ),
  );
}

/**
 * A finding's sentence in which every number is a link to the row of the table that it came from:
 * the rows of the finding's horizon, first group, second group, difference, as `contrastTable` has
 * them; to the table itself where it is laid out otherwise.
 */
export function sentenceTree(item: FindingItem, model: ReportModel): Content {
  const table = tableOf(model.items, item.tableId)?.item;
  const rows = (table?.rows ?? []).flatMap((row, index) =>
    row.years === item.horizon ? [index + 1] : []
  );
  const anchors = rows.length === 3
    ? rows.map((row) => `row-${item.tableId}-${row}`)
    : Array(3).fill(`table-${item.tableId}`);
  const anchorOf = { first: anchors[0], second: anchors[1], difference: anchors[2] };
  return findingParts(item).map((part) => {
    if (typeof part === "string") return part;
    return table ? h("a.number", { href: `#${anchorOf[part.of]}` }, part.number) : part.number;
  });
}

/** A note where the notebook recorded it. */
export function noteTree(placed: Placed<NoteItem>, model: ReportModel): Element {
  const { item } = placed;
  return h(
    "aside.note",
    { id: noteAnchor(item) },
    h(
      "p",
      {},
      h("b", {}, `${noteNames[item.about]}.`),
      ` ${item.text}`,
      /\d/.test(item.text) && [" ", origin(placed, model)],
    ),
  );
}

/** The anchor of a note. */
export function noteAnchor({ id }: NoteItem): string {
  return `note-${id}`;
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

/** Where something shown comes from: the cell that computed it, and the methods behind it. */
export function origin(
  place: { notebook: string; cell: number },
  model: ReportModel,
): Element {
  const { notebook, cell } = place;
  const methods = model.methods.behind({ notebook, cell });
  return h(
    "span.source",
    {},
    "From ",
    h("a", { href: `#${cellAnchor(notebook, cell)}` }, `${notebook}, cell ${cell}`),
    methods.length > 0 && "; by ",
    methods.map(({ id, label }, i) => [
      i > 0 && ", ",
      h("a", { href: `#${methodAnchor(id)}` }, label),
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
