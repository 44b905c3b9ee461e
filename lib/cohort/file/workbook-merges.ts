import { strFromU8, unzipSync } from "fflate";

/**
 * Columns of a sheet, from 0, in which cells are merged downwards, and how many rows such cells
 * take up: a reader of values sees blanks beneath the first.
 *
 * @param workbook As `safeWorkbook` gives it: unpacked under limits, stored uncompressed.
 * @param sheet Name of the sheet; else the first.
 */
export function mergedDownwards(workbook: ArrayBuffer, sheet?: string): Map<number, number> {
  const parts = unzipSync(new Uint8Array(workbook));
  const text = (name: string) => parts[name] ? strFromU8(parts[name]) : "";
  const sheets = [...text("xl/workbook.xml").matchAll(/<(?:\w+:)?sheet\b[^>]*>/g)].map(([tag]) => ({
    name: unescaped(/\bname="([^"]*)"/.exec(tag)?.[1] ?? ""),
    relation: /\br:id="([^"]*)"/.exec(tag)?.[1] ?? "",
  }));
  const wanted = sheet === undefined ? sheets[0] : sheets.find(({ name }) => name === sheet);
  const found = [...text("xl/_rels/workbook.xml.rels").matchAll(/<Relationship\b[^>]*>/g)]
    .find(([tag]) => wanted !== undefined && tag.includes(`Id="${wanted.relation}"`));
  const target = /\bTarget="\/?(?:xl\/)?([^"]*)"/.exec(found?.[0] ?? "")?.[1] ?? "";
  const merges = new Map<number, number>();
  const ranges = text(`xl/${target}`)
    .matchAll(/<(?:\w+:)?mergeCell\b[^>]*\bref="([A-Z]{1,3})(\d+):[A-Z]{1,3}(\d+)"/g);
  for (const [, letters = "", top, bottom] of ranges) {
    const rows = Number(bottom) - Number(top);
    if (rows < 1) continue;
    const column = columnNumber(letters) - 1;
    merges.set(column, (merges.get(column) ?? 0) + rows + 1);
  }
  return merges;
}

/** The number of a column by its letters: A is 1. */
export function columnNumber(letters: string): number {
  let number = 0;
  for (const letter of letters) number = 26 * number + letter.charCodeAt(0) - 64;
  return number;
}

function unescaped(text: string): string {
  return text.replaceAll("&lt;", "<").replaceAll("&gt;", ">").replaceAll("&quot;", '"')
    .replaceAll("&apos;", "'").replaceAll("&amp;", "&");
}
