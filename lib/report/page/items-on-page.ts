import { escapeHtml, findingParts, sentence, tableHtml, verdictSentence } from "../show/mod.ts";
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
import { safeSvg } from "./safe-svg.ts";

/** A figure with its number, caption and the way to its table, its cell and its methods. */
export function figureHtml(
  placed: Placed<FigureItem>,
  model: ReportModel,
  options: { anchor: boolean },
): string {
  const { item, number } = placed;
  const svg = safeSvg(item.svg);
  const drawing = svg ?? `<p class="missing">This figure is not an SVG drawing.</p>`;
  const table = tableOf(model.items, item.tableId);
  const link = table
    ? ` <a href="#table-${table.item.id}">Its numbers are in table ${table.number}</a>.`
    : "";
  const id = options.anchor ? ` id="figure-${item.id}"` : "";
  const { version } = item;
  const data = version ? ` data-version-of="${version.of}" data-design="${version.design}"` : "";
  return `<figure${id} class="figure"${data}>
<div class="drawing" role="group" aria-label="${escapeHtml(item.alt)}">${drawing}</div>
<figcaption><b>Figure ${number}. ${escapeHtml(sentence(item.title))}</b> ${
    escapeHtml(item.caption)
  }${link} ${statusBadge(statusOfFigure(item, model))} ${origin(placed, model)}</figcaption>
</figure>`;
}

/** A pointer to a figure that is shown elsewhere on the page. */
export function figurePointer({ item, number }: Placed<FigureItem>): string {
  return `<p class="pointer"><a href="#figure-${item.id}">Figure ${number}, ${
    escapeHtml(item.title)
  }</a>, stands at the head of this report.</p>`;
}

/** A table in a box that scrolls by itself where the page is narrow. */
export function tableItemHtml(placed: Placed<TableItem>, model: ReportModel): string {
  const { item, number } = placed;
  const label = `Table ${number}. ${item.title}`;
  const size = item.rows.length > 24 ? "table long" : "table";
  return `<figure id="table-${item.id}" class="${size}">
<figcaption><b>Table ${number}. ${escapeHtml(sentence(item.title))}</b> ${
    escapeHtml(item.caption)
  } ${statusBadge(item.status)} ${origin(placed, model)}</figcaption>
<div class="scroll" role="region" tabindex="0" aria-label="${escapeHtml(label)}">${
    tableHtml({ ...item, notes: [] }, { caption: "none", rowId: `row-${item.id}` })
  }</div>
${(item.notes ?? []).map((line) => `<p class="table-note">${escapeHtml(line)}</p>`).join("\n")}
</figure>`;
}

/** A finding where the notebook recorded it. */
export function findingHtml(placed: Placed<FindingItem>, model: ReportModel): string {
  const { item } = placed;
  const table = tableOf(model.items, item.tableId);
  const link = table ? ` <a href="#table-${table.item.id}">Table ${table.number}</a>.` : "";
  return `<aside class="finding-note" id="finding-${item.id}">
<p><b>${escapeHtml(verdictSentence(item))}</b> ${sentenceHtml(item, model)}${link} ${
    statusBadge(item.status)
  } ${origin(placed, model)}</p></aside>`;
}

/**
 * A finding's sentence in which every number is a link to the row of the table that it came from:
 * the rows of the finding's horizon, first group, second group, difference, as `contrastTable` has
 * them; to the table itself where it is laid out otherwise.
 */
export function sentenceHtml(item: FindingItem, model: ReportModel): string {
  const table = tableOf(model.items, item.tableId)?.item;
  const rows = (table?.rows ?? []).flatMap((row, index) =>
    row.years === item.horizon ? [index + 1] : []
  );
  const anchors = rows.length === 3
    ? rows.map((row) => `row-${item.tableId}-${row}`)
    : Array(3).fill(`table-${item.tableId}`);
  const anchorOf = { first: anchors[0], second: anchors[1], difference: anchors[2] };
  return findingParts(item).map((part) => {
    if (typeof part === "string") return escapeHtml(part);
    const text = escapeHtml(part.number);
    return table ? `<a class="number" href="#${anchorOf[part.of]}">${text}</a>` : text;
  }).join("");
}

/** A note where the notebook recorded it. */
export function noteHtml(placed: Placed<NoteItem>, model: ReportModel): string {
  const { item } = placed;
  const from = /\d/.test(item.text) ? ` ${origin(placed, model)}` : "";
  return `<aside class="note" id="${noteAnchor(item)}"><p><b>${noteNames[item.about]}.</b> ${
    escapeHtml(item.text)
  }${from}</p></aside>`;
}

/** The anchor of a note. */
export function noteAnchor({ id }: NoteItem): string {
  return `note-${id}`;
}

/** Planned or exploratory, as a word in a box. */
export function statusBadge(status: PlanStatus): string {
  return `<span class="badge ${status}">${status}</span>`;
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
): string {
  const { notebook, cell } = place;
  const methods = model.methods.behind({ notebook, cell }).map(({ id, label }) =>
    `<a href="#${methodAnchor(id)}">${escapeHtml(label)}</a>`
  );
  const by = methods.length > 0 ? `; by ${methods.join(", ")}` : "";
  return `<span class="source">From <a href="#${cellAnchor(notebook, cell)}">${
    escapeHtml(notebook)
  }, cell ${cell}</a>${by}</span>`;
}

const noteNames: Record<NoteItem["about"], string> = {
  summary: "In short",
  certainty: "How sure",
  "cannot-tell": "What this cannot tell",
  caution: "Caution",
  deviation: "Departure from the plan",
};
