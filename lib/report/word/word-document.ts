import { Document, type ISectionOptions, Packer } from "docx";
import type { Study } from "../../study/file/mod.ts";
import { reproducible } from "../word-file/mod.ts";
import { wordStyles } from "./word-table.ts";

/**
 * A document of a study's report in the project's styles: the same sections, the same bytes.
 *
 * @param pictures By what stands in the sections for each: the writer would pack pictures that are
 * packed already, which takes longer than all else.
 */
export async function wordDocument(
  { centre, title }: Pick<Study, "centre" | "title">,
  sections: ISectionOptions[],
  pictures: ReadonlyMap<string, Uint8Array<ArrayBuffer>> = new Map(),
): Promise<Uint8Array<ArrayBuffer>> {
  const document = new Document({ creator: centre, title, styles: wordStyles, sections });
  return reproducible(new Uint8Array(await Packer.toArrayBuffer(document)), pictures);
}
