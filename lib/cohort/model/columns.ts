import { DataError, valuesAt } from "../../numerics/mod.ts";
import type { Column, Columns } from "./cohort.ts";

/**
 * A numeric column of a cohort or analysis (NaN = missing).
 *
 * @throws {DataError} if there is no such column, or it is text.
 */
export function numericColumn(of: { columns: Columns }, name: string): Float64Array {
  const column = columnOf(of, name);
  if (column instanceof Float64Array) return column;
  throw new DataError(name, "a column of numbers (this one is text)", name);
}

/**
 * A text column of a cohort or analysis ("" = missing).
 *
 * @throws {DataError} if there is no such column, or it is numbers.
 */
export function textColumn(of: { columns: Columns }, name: string): string[] {
  const column = columnOf(of, name);
  if (!(column instanceof Float64Array)) return column;
  throw new DataError(name, "a column of text (this one is numbers)", name);
}

/** Whether a cohort or analysis has a column. */
export function hasColumn(of: { columns: Columns }, name: string): boolean {
  return Object.hasOwn(of.columns, name);
}

/** A column of a cohort or analysis. @throws {DataError} if there is no such column. */
export function columnOf(of: { columns: Columns }, name: string): Column {
  const column = hasColumn(of, name) ? of.columns[name] : undefined;
  if (column) return column;
  throw new DataError("column", "one the cohort has", name);
}

/**
 * Columns that are made when they are first asked for, and then kept: an analysis of a large cohort
 * needs few of those there are. The object itself looks the same whatever was asked for before.
 */
export function lazyColumns(makers: ReadonlyMap<string, () => Column>): Columns {
  const columns: Record<string, Column> = {};
  for (const [name, maker] of makers) {
    let make: (() => Column) | undefined = maker;
    let column: Column | undefined;
    Object.defineProperty(columns, name, {
      configurable: true,
      enumerable: true,
      get() {
        if (make) column = make();
        make = undefined; // what it was made from may go
        return column;
      },
    });
  }
  return columns;
}

/**
 * A cohort or an analysis with something of it in another's place; what it makes when it is asked
 * for is not made for it, as a spread would.
 */
export function butWith<Of extends object, Other extends object>(
  of: Of,
  others: Other,
): Omit<Of, keyof Other> & Other {
  return Object.defineProperties({} as Omit<Of, keyof Other> & Other, {
    ...Object.getOwnPropertyDescriptors(of),
    ...Object.getOwnPropertyDescriptors(others),
  });
}

/** Columns with others beside them, or in their place; none of those there were is made for it. */
export function columnsBeside(
  columns: Columns,
  others: ReadonlyMap<string, () => Column>,
): Columns {
  const makers = new Map(
    Object.keys(columns).map((name) => [name, () => columnOf({ columns }, name)]),
  );
  for (const [name, make] of others) makers.set(name, make);
  return lazyColumns(makers);
}

/** The values of a column in some rows, in their order. */
export function columnAt(column: Column, rows: Int32Array): Column {
  if (column instanceof Float64Array) return valuesAt(column, rows);
  const picked = new Array<string>(rows.length);
  for (let i = 0; i < picked.length; i++) picked[i] = column[rows[i]!] ?? "";
  return picked;
}
