import { numberAt, textAt } from "../cells/mod.ts";
import {
  type DictionaryColumn,
  dictionaryColumn,
  isNumeric,
  tableColumns,
} from "../dictionary/mod.ts";
import type { Table, UnreadCell } from "../table/mod.ts";

/** A clean table as it is written: columns of the dictionary, and cells as text. */
export interface CleanCells {
  header: string[];
  rows: string[][];
  /** Cells that are blank because they were not understood. */
  unread: UnreadCell[];
}

/**
 * A number no finer than it is measured: whole years of age and of the calendar, whole numbers
 * where the column has them, else four figures. 2016.165 is a day, and seven decimals have room for
 * anybody's record number.
 */
export function asFine(
  value: number,
  { name, type }: Pick<DictionaryColumn, "name" | "type">,
): number {
  if (Number.isInteger(value)) return value;
  if (name === "age" || name === "op_year") return Math.floor(value);
  return type === "number" ? Number(value.toPrecision(4)) : Math.round(value);
}

/**
 * The cells of a table as they may leave: pseudonyms by the places that stand for record numbers,
 * numbers in their range, 90 for ages over it. A number out of its range could be anything; it is
 * blank, and among those not understood.
 *
 * @param names Pseudonyms by place.
 */
export function cleanCells(table: Table, names: readonly string[]): CleanCells {
  // what must be there and may be blank is blank where the export does not have it
  const columns = tableColumns(table.name, table.own).filter(({ name, requirement }) =>
    table.columns.has(name) || (requirement !== "optional" && table.n > 0)
  );
  const unread = [...table.unread ?? []];
  const texts = columns.map(({ name }) => {
    const held = table.columns.get(name);
    const column = dictionaryColumn(table.name, name, table.own);
    if (name === "id") {
      return Array.from({ length: table.n }, (_, row) => {
        const place = Number(textAt(held, row).slice(1) || NaN);
        return names[place] ?? "";
      });
    }
    if (!column || !isNumeric(column)) {
      return Array.from({ length: table.n }, (_, row) => textAt(held, row));
    }
    const { min = -Infinity, max = Infinity } = column.hard ?? {};
    return Array.from({ length: table.n }, (_, row) => {
      const value = numberAt(held, row);
      if (Number.isNaN(value)) return "";
      if (name === "age" && value > max && value <= 120) return String(max);
      if (value < min || value > max) {
        const text = String(value);
        unread.push({ row, column: name, text, why: `is not between ${min} and ${max}` });
        return "";
      }
      if (column.type === "ordinal" && !Number.isInteger(value)) {
        // which of two grades it is nobody can tell
        unread.push({ row, column: name, text: String(value), why: "is not a whole number" });
        return "";
      }
      return String(asFine(value, column));
    });
  });
  const rows = Array.from({ length: table.n }, (_, row) => texts.map((cells) => cells[row] ?? ""));
  return { header: columns.map(({ name }) => name), rows, unread };
}
