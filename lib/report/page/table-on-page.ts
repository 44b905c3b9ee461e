import { Memory } from "../../numerics/memory/mod.ts";
import { tableTree } from "../show/mod.ts";
import { htmlText, type Ready, ready } from "../tree/mod.ts";
import type { TableItem } from "../items/mod.ts";

/** A table without its words, and the name that its rows' anchors begin with. */
export type AnchoredTable = Pick<TableItem, "id" | "columns" | "rows">;

/** A table without its words, for a page; each row has its anchor. */
export function tableOnPage(item: AnchoredTable): Ready {
  return ready(tableMarkup(item));
}

/** What {@link tableOnPage} puts on a page, to be kept. */
export function tableMarkup(item: AnchoredTable): string {
  const body = bodyOf(item);
  return written.get(
    JSON.stringify(body),
    () => htmlText(tableTree(body, { caption: "none", rowId: `row-${body.id}` })),
  );
}

/** Takes what was made of a table in an earlier run. */
export function rememberTable(item: AnchoredTable, markup: string): void {
  written.set(JSON.stringify(bodyOf(item)), markup);
}

/** A table stands in two pages. */
const written = new Memory<string>(1000);

/** What is not asked for cannot change the markup. */
function bodyOf({ id, columns, rows }: AnchoredTable) {
  return { id, title: "", caption: "", columns, rows };
}
