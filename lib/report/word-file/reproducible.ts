import { unzipSync, zipSync } from "fflate";
import { xmlText } from "../tree/mod.ts";

const bookmark = /(<w:bookmark(?:Start|End)\b[^>]*\bw:id=")(\d+)"/g;
const picture = /(<wp:docPr\b[^>]*\bid=")(\d+)"/g;

/** By the clock of wherever this runs, which is how an archive writes it. */
const noon = new Date(2000, 0, 1, 12);

/** What is put into a document once it is packed. */
export interface PutIn {
  /** In place of the parts that consist of their names. */
  pictures?: ReadonlyMap<string, Uint8Array<ArrayBuffer>>;
  /** What is made of its body. */
  body?: (text: string) => string;
}

/**
 * The writer stamps the time on the file and on each part of it, and numbers bookmarks and pictures
 * through the life of the process: the same tables, the same bytes. Letters that no XML may have
 * are replaced.
 */
export function reproducible(
  docx: Uint8Array<ArrayBuffer>,
  { pictures = new Map(), body: withAll = (text) => text }: PutIn = {},
): Uint8Array<ArrayBuffer> {
  const parts = unzipSync(docx);
  for (const [name, bytes] of Object.entries(parts)) {
    if (!name.endsWith(".png")) continue;
    const picture = pictures.get(new TextDecoder().decode(bytes));
    if (picture) parts[name] = picture;
  }
  const core = parts["docProps/core.xml"];
  if (core) {
    const text = new TextDecoder().decode(core)
      .replace(/\d{4}-\d\d-\d\dT[\d:.]+Z/g, "2000-01-01T00:00:00Z");
    parts["docProps/core.xml"] = new TextEncoder().encode(text);
  }
  for (const [name, bytes] of Object.entries(parts)) {
    if (!name.endsWith(".xml")) continue;
    const text = new TextDecoder().decode(bytes);
    const legal = xmlText(text);
    if (legal !== text) parts[name] = new TextEncoder().encode(legal);
  }
  const body = parts["word/document.xml"];
  if (body) {
    const whole = withAll(new TextDecoder().decode(body));
    const text = [bookmark, picture].reduce(countedFromOne, whole);
    parts["word/document.xml"] = new TextEncoder().encode(text);
  }
  const packed = Object.fromEntries(
    // pictures are packed already
    Object.entries(parts).map(([name, bytes]): [string, [Uint8Array, { level: 0 | 6 }]] => [
      name,
      [bytes, { level: name.endsWith(".png") ? 0 : 6 }],
    ]),
  );
  return new Uint8Array(zipSync(packed, { mtime: noon }));
}

function countedFromOne(text: string, numbered: RegExp): string {
  const least = Math.min(...[...text.matchAll(numbered)].map((found) => Number(found[2])));
  return text.replace(
    numbered,
    (_, before: string, id: string) => `${before}${Number(id) - least + 1}"`,
  );
}
