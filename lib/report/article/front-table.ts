import { anchorOf, scrolling } from "../page/mod.ts";
import type { TableItem } from "../model/mod.ts";
import { type Element, h } from "../tree/mod.ts";

/** A table of the first page in its frame, whose numbers stand in full in the supplement. */
export function frontTable(item: TableItem, table: Element, more = ""): Element {
  return h(
    "figure.table.front",
    { id: anchorOf(item) },
    h(
      "figcaption",
      {},
      h("b", {}, `${item.title}.`),
      ` ${item.caption} ${more}`,
      h("a", { href: `supplement.html#${anchorOf(item)}` }, "All numbers in the supplement"),
      ".",
    ),
    scrolling(item.title, table),
  );
}

/** What a column is called, such as a group's name. */
export function columnLabel({ columns }: TableItem, key: string): string {
  return columns.find((column) => column.key === key)?.label ?? key;
}
