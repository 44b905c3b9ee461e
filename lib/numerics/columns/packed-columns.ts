import { DataError } from "./errors.ts";

const kinds = {
  Int8Array,
  Uint8Array,
  Int16Array,
  Uint16Array,
  Int32Array,
  Uint32Array,
  Float64Array,
} as const;

type Kind = keyof typeof kinds;

/** An array that {@link packColumns} takes. */
export type PackedColumn =
  | Int8Array
  | Uint8Array
  | Int16Array
  | Uint16Array
  | Int32Array
  | Uint32Array
  | Float64Array;

/** What is packed: columns by name, and whatever else there is to say, as JSON. */
export interface Packed {
  about: unknown;
  columns: Record<string, PackedColumn>;
}

/** A column that is made when its turn to be packed comes, and not kept. */
export interface LaterColumn {
  /** One of its kind. */
  like: PackedColumn;
  length: number;
  make(): PackedColumn;
}

const mark = "packed 1";
const aligned = (length: number) => (length + 7) & ~7;

/**
 * Columns as bytes, to be given from one process to another on the same machine: a head that says
 * where each begins, then the columns as they lie in memory.
 *
 * @returns The pieces, in order; the columns themselves are not copied.
 */
export function* packColumns({ about, columns }: {
  about: unknown;
  columns: Record<string, PackedColumn | LaterColumn>;
}): Generator<Uint8Array> {
  let offset = 0;
  const places = Object.entries(columns).map(([name, column]) => {
    const { constructor: kind, BYTES_PER_ELEMENT } = "make" in column ? column.like : column;
    const place = { name, kind: kind.name, length: column.length, offset };
    offset += aligned(column.length * BYTES_PER_ELEMENT);
    return place;
  });
  const head = new TextEncoder().encode(JSON.stringify({ about, places }));
  const start = new Uint8Array(16);
  start.set(new TextEncoder().encode(mark));
  new DataView(start.buffer).setUint32(8, head.length, true);
  yield start;
  yield head;
  yield new Uint8Array(aligned(head.length) - head.length);
  for (const column of Object.values(columns)) {
    const { buffer, byteOffset, byteLength } = "make" in column ? column.make() : column;
    yield new Uint8Array(buffer, byteOffset, byteLength);
    yield new Uint8Array(aligned(byteLength) - byteLength);
  }
}

/**
 * What {@link packColumns} made bytes of. The columns lie in the bytes given and are not copied.
 *
 * @throws {DataError} on bytes that it did not make, or not all of them.
 */
export function unpackColumns(bytes: Uint8Array<ArrayBuffer>): Packed {
  const wrong = () => new DataError("bytes", "those of packed columns, all of them", bytes.length);
  if (bytes.byteOffset % 8 !== 0 || bytes.length < 16) throw wrong();
  if (new TextDecoder().decode(bytes.subarray(0, mark.length)) !== mark) throw wrong();
  const length = new DataView(bytes.buffer, bytes.byteOffset).getUint32(8, true);
  if (bytes.length < 16 + length) throw wrong();
  const { about, places }: { about: unknown; places: Place[] } = JSON.parse(
    new TextDecoder().decode(bytes.subarray(16, 16 + length)),
  );
  const begin = bytes.byteOffset + 16 + aligned(length);
  const columns: Packed["columns"] = {};
  for (const { name, kind, length, offset } of places) {
    const Column = kinds[kind];
    if (begin + offset + length * Column.BYTES_PER_ELEMENT > bytes.byteOffset + bytes.length) {
      throw wrong();
    }
    columns[name] = new Column(bytes.buffer, begin + offset, length);
  }
  return { about, columns };
}

interface Place {
  name: string;
  kind: Kind;
  length: number;
  offset: number;
}
