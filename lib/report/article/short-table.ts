import type { Placed, TableItem } from "../model/mod.ts";
import type { ArticleSection } from "./sections.ts";

/**
 * A table as there is room for it, which says where the rest of it is. What its rows all have in
 * common stands in the caption, once.
 */
export function shortTable(
  table: Placed<TableItem>,
  { without = [], rows: wanted, title }: NonNullable<ArticleSection["shortened"]> = {},
): Placed<TableItem> {
  const { item } = table;
  const found = wanted
    ? item.rows.filter((row) =>
      Object.values(row).some((cell) => typeof cell === "string" && wanted.test(cell))
    )
    : [];
  const rows = found.length > 0 ? found : item.rows;
  const kept = item.columns.filter(({ key }) => !without.some((left) => key.startsWith(left)));
  const common = new Map<string, string>();
  for (const { key, kind } of found.length > 1 ? kept : []) {
    const [first] = rows;
    const cell = first?.[key] ?? "";
    if (
      kind === "text" && typeof cell === "string" && rows.every((row) => (row[key] ?? "") === cell)
    ) {
      common.set(key, cell);
    }
  }
  const columns = kept.filter(({ key }) => !common.has(key));
  if (columns.length === item.columns.length && rows.length === item.rows.length) return table;
  const said = [...common.values()].filter((words) => words !== "").map((words) => ` ${words}.`);
  const caption = `${item.caption}${said.join("")} The whole table is in the supplement.`;
  const named = title !== undefined && found.length > 0 ? { title } : {};
  return { ...table, item: { ...item, ...named, columns, rows, caption } };
}
