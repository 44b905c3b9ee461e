import { type Columns, lazyColumns } from "../model/mod.ts";
import { type HeldColumn, publishedColumn } from "./held-columns.ts";

const waiting = new WeakMap<Columns, Map<string, () => HeldColumn>>();

/**
 * Columns as a cohort gives them, each made of what a table holds when it is first asked for; what
 * was held is then let go.
 */
export function publishedColumns(held: ReadonlyMap<string, () => HeldColumn>): Columns {
  const left = new Map(held);
  const columns = lazyColumns(
    new Map(
      Array.from(held, ([name, of]) => [name, () => {
        left.delete(name);
        return publishedColumn(of());
      }]),
    ),
  );
  waiting.set(columns, left);
  return columns;
}

/** A column as it is still held: one that nobody has asked for yet. */
export function stillHeld(columns: Columns, name: string): HeldColumn | undefined {
  return waiting.get(columns)?.get(name)?.();
}

/** Some rows of a column, in their order, held in the same way. */
export function heldAt(column: HeldColumn | undefined, rows: Int32Array): HeldColumn {
  if (column === undefined) return { values: new Float64Array(rows.length).fill(NaN), divisor: 1 };
  if (Array.isArray(column)) return Array.from(rows, (row) => column[row] ?? "");
  const pick = <Values extends Float64Array | Int16Array | Uint16Array | Uint32Array>(
    values: Values,
  ): Values => {
    const picked = new (values.constructor as new (length: number) => Values)(rows.length);
    for (let i = 0; i < picked.length; i++) picked[i] = values[rows[i]!]!;
    return picked;
  };
  return "codes" in column
    ? { codes: pick(column.codes), levels: column.levels }
    : { values: pick(column.values), divisor: column.divisor };
}
