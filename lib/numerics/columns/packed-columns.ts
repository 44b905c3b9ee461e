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

/** Where packed columns lie: in memory, or in a file of which no more is read than is asked for. */
export interface PackedSource {
  /** Bytes in all. */
  length: number;
  /** Bytes from a place on, in a buffer of their own or one that is never written to. */
  read(at: number, length: number): Uint8Array<ArrayBuffer>;
}

/** What {@link openPacked} finds: each column is read when it is asked for, and not kept. */
export interface OpenedColumns {
  about: unknown;
  /** @throws {DataError} Where there is no column of that name. */
  column(name: string): PackedColumn;
}

/** Packed columns that lie in memory; those read share it. */
export function packedBytes(bytes: Uint8Array<ArrayBuffer>): PackedSource {
  return { length: bytes.length, read: (at, length) => bytes.subarray(at, at + length) };
}

/**
 * Opens what {@link packColumns} made bytes of.
 *
 * @throws {DataError} on bytes that it did not make, or not all of them.
 */
export function openPacked(source: PackedSource): OpenedColumns {
  const wrong = () => new DataError("bytes", "those of packed columns, all of them", source.length);
  if (source.length < 16) throw wrong();
  const start = source.read(0, 16);
  if (new TextDecoder().decode(start.subarray(0, mark.length)) !== mark) throw wrong();
  const length = new DataView(start.buffer, start.byteOffset).getUint32(8, true);
  if (source.length < 16 + length) throw wrong();
  const { about, places }: { about: unknown; places: Place[] } = JSON.parse(
    new TextDecoder().decode(source.read(16, length)),
  );
  const begin = 16 + aligned(length);
  for (const { kind, length, offset } of places) {
    if (begin + offset + length * kinds[kind].BYTES_PER_ELEMENT > source.length) throw wrong();
  }
  const byName = new Map(places.map((place) => [place.name, place]));
  return {
    about,
    column: (name) => {
      const place = byName.get(name);
      if (!place) throw new DataError("name", `one of ${[...byName.keys()].join(", ")}`, name);
      const Column = kinds[place.kind];
      const { BYTES_PER_ELEMENT } = Column;
      const bytes = source.read(begin + place.offset, place.length * BYTES_PER_ELEMENT);
      const { buffer, byteOffset } = bytes.byteOffset % BYTES_PER_ELEMENT === 0
        ? bytes
        : bytes.slice();
      return new Column(buffer, byteOffset, place.length);
    },
  };
}

interface Place {
  name: string;
  kind: Kind;
  length: number;
  offset: number;
}
