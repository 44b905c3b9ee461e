import { DataError } from "../../numerics/mod.ts";
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
