import { unzipSync, zipSync } from "fflate";

const bookmark = /(<w:bookmark(?:Start|End)\b[^>]*\bw:id=")(\d+)"/g;
const picture = /(<wp:docPr\b[^>]*\bid=")(\d+)"/g;

/**
 * The writer stamps the time on the file and on each part of it, and numbers bookmarks and pictures through the
 * life of the process: the same tables, the same bytes.
 */
export function reproducible(docx: Uint8Array<ArrayBuffer>): Uint8Array<ArrayBuffer> {
  const parts = unzipSync(docx);
  const core = parts["docProps/core.xml"];
  if (core) {
    const text = new TextDecoder().decode(core)
      .replace(/\d{4}-\d\d-\d\dT[\d:.]+Z/g, "2000-01-01T00:00:00Z");
    parts["docProps/core.xml"] = new TextEncoder().encode(text);
  }
  const body = parts["word/document.xml"];
  if (body) {
    const text = [bookmark, picture].reduce(countedFromOne, new TextDecoder().decode(body));
    parts["word/document.xml"] = new TextEncoder().encode(text);
  }
  return new Uint8Array(zipSync(parts, { mtime: "2000-01-01T12:00:00Z", level: 6 }));
}

function countedFromOne(text: string, numbered: RegExp): string {
  const least = Math.min(...[...text.matchAll(numbered)].map((found) => Number(found[2])));
  return text.replace(
    numbered,
    (_, before: string, id: string) => `${before}${Number(id) - least + 1}"`,
  );
}
