import { Document, type ISectionOptions, Packer } from "docx";
import type { Study } from "../../study/file/mod.ts";
import { reproducible } from "./reproducible.ts";
import { wordStyles } from "./word-table.ts";

/** A document of a study's report in the project's styles: the same sections, the same bytes. */
export async function wordDocument(
  { centre, title }: Pick<Study, "centre" | "title">,
  sections: ISectionOptions[],
): Promise<Uint8Array<ArrayBuffer>> {
  const document = new Document({ creator: centre, title, styles: wordStyles, sections });
  return reproducible(new Uint8Array(await Packer.toArrayBuffer(document)));
}
