import { DataError } from "../../numerics/mod.ts";

/** A table of counts with its margins. */
export interface CountTable {
  rows: number;
  columns: number;
  rowTotals: number[];
  columnTotals: number[];
  total: number;
}

/** Checks a table of counts: two rows and columns at least, none all zero. @throws {DataError} */
export function countTable(table: number[][]): CountTable {
  const columns = table[0]?.length ?? 0;
  if (table.length < 2 || columns < 2) {
    throw new DataError("table", "at least two rows and two columns", table);
  }
  const rowTotals = table.map(() => 0);
  const columnTotals: number[] = Array(columns).fill(0);
  table.forEach((row, i) => {
    if (row.length !== columns) throw new DataError("table", `${columns} counts a row`, row, i);
    row.forEach((count, j) => {
      if (!Number.isSafeInteger(count) || count < 0) {
        throw new DataError(`table[${i}]`, "a whole number >= 0", count, j);
      }
      rowTotals[i]! += count;
      columnTotals[j]! += count;
    });
  });
  for (const [name, totals] of [["row", rowTotals], ["column", columnTotals]] as const) {
    const empty = totals.indexOf(0);
    if (empty >= 0) throw new DataError("table", `without an empty ${name}`, 0, empty);
  }
  return {
    rows: table.length,
    columns,
    rowTotals,
    columnTotals,
    total: rowTotals.reduce((sum, count) => sum + count, 0),
  };
}
