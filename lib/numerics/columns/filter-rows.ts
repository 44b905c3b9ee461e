import { DataError } from "./errors.ts";

/** A column as an estimator takes it: a plain or a typed array. */
export type PlainColumn = readonly unknown[] | Float64Array | Int32Array | Uint32Array | Uint8Array;

/**
 * The rows of several columns for which `keep` holds, each column of the kind it was.
 *
 * @example
 * ```ts
 * import { filterRows } from "mitral";
 * filterRows({ time: [1, 2, 3], event: Uint8Array.of(1, 0, 1) }, (row) => row > 0);
 * // { time: [2, 3], event: Uint8Array.of(0, 1) }
 * ```
 * @param columns Plain or typed arrays of one length; columns that are undefined stay so.
 * @throws {DataError} on columns of unlike length.
 */
export function filterRows<Columns extends Record<string, PlainColumn | undefined>>(
  columns: Columns,
  keep: (row: number) => boolean,
): Columns {
  let length: number | undefined;
  const kept: Record<string, unknown> = {};
  for (const [name, column] of Object.entries(columns)) {
    if (column && column.length !== (length ??= column.length)) {
      throw new DataError(name, `of length ${length}`, column);
    }
    // every kind of column has the same filter, but no signature in common
    kept[name] = (column as readonly unknown[] | undefined)?.filter((_, row) => keep(row));
  }
  return kept as Columns;
}
