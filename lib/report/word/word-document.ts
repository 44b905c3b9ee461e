import { Document, type ISectionOptions, Packer } from "docx";
import type { Study } from "../../study/file/mod.ts";
import { reproducible, type WrittenDocument, type WrittenTables } from "../word-file/mod.ts";
import { wordStyles } from "./word-table.ts";
import { TablesOfDocument } from "./written-tables.ts";

/** What may stand ready for a document. */
export interface WordParts {
  /** Tables of an earlier document. */
  tables?: WrittenTables;
  /**
   * By what stands in the sections for each: the writer would pack pictures that are packed
   * already, which takes longer than all else.
   */
  pictures?: ReadonlyMap<string, Uint8Array<ArrayBuffer>>;
}

/**
 * A document of a study's report in the project's styles: the same sections, the same bytes,
 * whatever stands ready for it.
 *
 * @param sections Are told where their tables are placed, in order.
 */
export async function wordDocument(
  { centre, title }: Pick<Study, "centre" | "title">,
  sections: (tables: TablesOfDocument) => ISectionOptions[],
  { tables: before = new Map(), pictures = new Map() }: WordParts = {},
): Promise<WrittenDocument> {
  const tables = new TablesOfDocument(before);
  const document = new Document({
    creator: centre,
    title,
    styles: wordStyles,
    sections: sections(tables),
  });
  const packed = new Uint8Array(await Packer.toArrayBuffer(document));
  const bytes = reproducible(packed, { pictures, body: (text) => tables.whole(text) });
  return { bytes, tables: tables.used };
}
