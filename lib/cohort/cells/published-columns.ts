import { type Column, type Columns, lazyColumns } from "../model/mod.ts";
import { type HeldColumn, publishedColumn } from "./held-columns.ts";

/** A column as it is held, or some rows of it in their order; of no column, all missing. */
export interface HeldRows {
  column: HeldColumn | undefined;
  rows?: Int32Array;
}

const waiting = new WeakMap<Columns, Map<string, HeldRows>>();
const lent = new WeakMap<object, Columns>();

/**
 * Columns as a cohort gives them, each made of what a table holds when it is first asked for; what
 * was held is then let go.
 */
export function publishedColumns(held: ReadonlyMap<string, HeldRows>): Columns {
  const left = new Map(held);
  const columns = lazyColumns(
    new Map(
      Array.from(held.keys(), (name) => [name, () => {
        const own = heldAt(left.get(name) ?? { column: undefined });
        left.delete(name);
        return publishedColumn(own);
      }]),
    ),
  );
  waiting.set(columns, left);
  return columns;
}

/** A column as it is still held: one that nobody has asked for yet. */
export function stillHeld(columns: Columns, name: string): HeldRows | undefined {
  return waiting.get(columns)?.get(name);
}

/** An object with some columns as its own, each made when it is first asked for. */
export function withLazy<Of extends object, Name extends string>(
  of: Of,
  columns: Columns,
  names: readonly Name[],
): Of & Record<Name, Column> {
  for (const name of names) {
    Object.defineProperty(of, name, {
      configurable: true,
      enumerable: true,
      get: () => columns[name],
    });
  }
  lent.set(of, columns);
  return of as Of & Record<Name, Column>;
}

/** The columns that {@link withLazy} gave an object; none where it has them of itself. */
export function lazyOf(of: object): Columns | undefined {
  return lent.get(of);
}

type HeldValues =
  | Float64Array
  | Int16Array
  | Int32Array
  | Uint8Array
  | Uint16Array
  | Uint32Array;

/** The rows of a column that are asked for, held in the same way. */
export function heldAt({ column, rows }: HeldRows): HeldColumn {
  if (column === undefined) {
    return { values: new Float64Array(rows?.length ?? 0).fill(NaN), divisor: 1 };
  }
  if (rows === undefined) return column;
  const pick = <Values extends HeldValues>(values: Values): Values => {
    const picked = new (values.constructor as new (length: number) => Values)(rows.length);
    for (let i = 0; i < picked.length; i++) picked[i] = values[rows[i]!]!;
    return picked;
  };
  if ("pool" in column) {
    return { pool: column.pool, places: pick(column.places), lengths: pick(column.lengths) };
  }
  return "codes" in column
    ? { codes: pick(column.codes), levels: column.levels }
    : { values: pick(column.values), divisor: column.divisor };
}
