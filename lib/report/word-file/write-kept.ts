import type { KeptFiles } from "../kept/mod.ts";

/** Tables as Word's markup, by the hash of what each was made of. */
export type WrittenTables = ReadonlyMap<string, string>;

/** A Word document, and its tables for the next one. */
export interface WrittenDocument {
  bytes: Uint8Array<ArrayBuffer>;
  tables: WrittenTables;
}

/**
 * Writes a document that is not kept, with the tables of the last one of its name at hand, and
 * keeps both.
 *
 * @param from All that it is made from, as for {@link KeptFiles}.
 */
export async function writeKept(
  name: string,
  from: unknown,
  { kept, write }: {
    kept: KeptFiles;
    write: (tables: WrittenTables) => Promise<WrittenDocument>;
  },
): Promise<Uint8Array<ArrayBuffer>> {
  const ofTables = `tables of ${name}`;
  const before = await kept.find(ofTables, null);
  const { bytes, tables } = await write(
    new Map(before && JSON.parse(new TextDecoder().decode(before))),
  );
  await kept.keep(name, from, bytes);
  await kept.keep(ofTables, null, new TextEncoder().encode(JSON.stringify([...tables])));
  return bytes;
}
