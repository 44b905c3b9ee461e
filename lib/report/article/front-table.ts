import { anchorOf, scrolling } from "../page/mod.ts";
import type { TableItem } from "../model/mod.ts";
import { type Content, type Element, h } from "../tree/mod.ts";

/**
 * A table of the first page in its frame, whose numbers stand in full in the supplement: over it no
 * more than is needed to read it, so that it is seen without scrolling.
 *
 * @param words Over the table, after its title, and under it, after its caption.
 */
export function frontTable(
  item: TableItem,
  table: Element,
  { over = "", under = "" }: { over?: Content; under?: string } = {},
): Element {
  return h(
    "figure.table.front",
    { id: anchorOf(item) },
    h(
      "figcaption",
      {},
      h("b", {}, `${item.title}.`),
      over && [" ", over],
    ),
    scrolling(item.title, table),
    h(
      "p.table-note",
      {},
      `${item.caption} ${under} `,
      h("a", { href: `supplement.html#${anchorOf(item)}` }, "All numbers in the supplement"),
      ".",
    ),
  );
}

/** What a column is called, such as a group's name. */
export function columnLabel({ columns }: TableItem, key: string): string {
  return columns.find((column) => column.key === key)?.label ?? key;
}
