import type { TableItem } from "../items/mod.ts";
import type { Notes, Place } from "./facts.ts";

/** A table with what is needed to write down its cells. */
export interface Reading {
  table: TableItem;
  notes: Notes;
  groups: readonly [string, string];
  place(row: number, key: string): Place;
  /** Writes down a cell under a name. */
  cell(row: number, key: string, name: string): string;
}

/** The same of a table, for what is read of it to be noted. */
export function reading(table: TableItem, notes: Notes): Reading {
  const place = (row: number, key: string) => ({ table: table.id, row, key });
  return {
    table,
    notes,
    groups: notes.knows.groups,
    place,
    cell: (row, key, name) => {
      notes.cell(name, table.rows[row]?.[key], place(row, key));
      return name;
    },
  };
}
