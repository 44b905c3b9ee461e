import { findingSentence, verdictSentence } from "./answer.ts";
import { escapeHtml } from "./escape.ts";
import {
  type FigureItem,
  type FindingItem,
  type Items,
  type NoteItem,
  type Placed,
  type TableItem,
  tableOf,
} from "./items.ts";
import { safeSvg } from "./safe-svg.ts";
import { tableHtml } from "./table.ts";

/** A figure with its number, caption and the way to its table. */
export function figureHtml(
  placed: Placed<FigureItem>,
  items: Items,
  options: { anchor: boolean },
): string {
  const { item, number } = placed;
  const svg = safeSvg(item.svg);
  const drawing = svg ?? `<p class="missing">This figure is not an SVG drawing.</p>`;
  const table = tableOf(items, item.tableId);
  const link = table
    ? ` <a href="#table-${table.item.id}">Its numbers are in table ${table.number}</a>.`
    : "";
  const status = table?.item.status ? ` ${statusBadge(table.item.status)}` : "";
  const id = options.anchor ? ` id="figure-${item.id}"` : "";
  return `<figure${id} class="figure">
<div class="drawing" role="group" aria-label="${escapeHtml(item.alt)}">${drawing}</div>
<figcaption><b>Figure ${number}. ${escapeHtml(ended(item.title))}</b> ${
    escapeHtml(item.caption)
  }${link}${status} ${source(placed)}</figcaption>
</figure>`;
}

/** A pointer to a figure that is shown elsewhere on the page. */
export function figurePointer({ item, number }: Placed<FigureItem>): string {
  return `<p class="pointer"><a href="#figure-${item.id}">Figure ${number}, ${
    escapeHtml(item.title)
  }</a>, stands at the head of this report.</p>`;
}

/** A table in a box that scrolls by itself where the page is narrow. */
export function tableItemHtml(placed: Placed<TableItem>): string {
  const { item, number } = placed;
  const status = item.status ? `${statusBadge(item.status)} ` : "";
  const label = `Table ${number}. ${item.title}`;
  const size = item.rows.length > 24 ? "table long" : "table";
  return `<figure id="table-${item.id}" class="${size}">
<figcaption><b>Table ${number}. ${escapeHtml(ended(item.title))}</b> ${
    escapeHtml(item.caption)
  } ${status}${source(placed)}</figcaption>
<div class="scroll" role="region" tabindex="0" aria-label="${escapeHtml(label)}">${
    tableHtml({ ...item, notes: [] }, { caption: "none" })
  }</div>
${(item.notes ?? []).map((line) => `<p class="table-note">${escapeHtml(line)}</p>`).join("\n")}
</figure>`;
}

/** A finding where the notebook recorded it. */
export function findingHtml({ item }: Placed<FindingItem>, items: Items): string {
  const table = tableOf(items, item.tableId);
  const link = table ? ` <a href="#table-${table.item.id}">Table ${table.number}</a>.` : "";
  return `<aside class="finding-note" id="finding-${item.id}">
<p><b>${escapeHtml(verdictSentence(item))}</b> ${escapeHtml(findingSentence(item))}${link} ${
    statusBadge(item.status)
  }</p></aside>`;
}

/** A note where the notebook recorded it. */
export function noteHtml({ item }: Placed<NoteItem>): string {
  return `<aside class="note"><p><b>${noteNames[item.about]}.</b> ${
    escapeHtml(item.text)
  }</p></aside>`;
}

/** Planned or exploratory, as a word in a box. */
export function statusBadge(status: "planned" | "exploratory"): string {
  return `<span class="badge ${status}">${status}</span>`;
}

/** The anchor of a cell's code. */
export function cellAnchor(notebook: string, cell: number): string {
  return `code-${notebook}-${cell}`;
}

function source({ notebook, cell }: Placed): string {
  return `<a class="source" href="#${cellAnchor(notebook, cell)}">${
    escapeHtml(notebook)
  }, cell ${cell}</a>`;
}

function ended(title: string): string {
  return /[.!?]$/.test(title) ? title : `${title}.`;
}

const noteNames: Record<NoteItem["about"], string> = {
  certainty: "How sure",
  "cannot-tell": "What this cannot tell",
  caution: "Caution",
  deviation: "Departure from the plan",
};
