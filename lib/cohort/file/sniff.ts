import { parse } from "csv-parse/sync";
import type { Delimiter } from "./file-format.ts";

const delimiters: Delimiter[] = [",", ";", "\t"];

/**
 * What separates the values: whichever of comma, semicolon and tab stands most often outside
 * quotation marks in the first line that has any. Excel's own `sep=;` line decides.
 *
 * @param text The beginning of the file.
 */
export function findDelimiter(text: string): Delimiter {
  const stated = statedDelimiter(text);
  if (stated) return stated;
  const counts = new Map<string, number>(delimiters.map((delimiter) => [delimiter, 0]));
  let quoted = false;
  let blank = true;
  for (const character of text) {
    if (character === '"') quoted = !quoted;
    else if ((character === "\n" || character === "\r") && !quoted) {
      // a title has none of them
      if (!blank && [...counts.values()].some((count) => count > 0)) break;
    } else {
      blank = false;
      const count = counts.get(character);
      if (count !== undefined && !quoted) counts.set(character, count + 1);
    }
  }
  return delimiters.reduce((best, delimiter) =>
    (counts.get(delimiter) ?? 0) > (counts.get(best) ?? 0) ? delimiter : best
  );
}

/** The delimiter of a first line `sep=;`, which a spreadsheet program writes for itself. */
export function statedDelimiter(text: string): Delimiter | null {
  const stated = /^\uFEFF?"?sep=([,;\t])"?\r?\n/i.exec(text)?.[1];
  return delimiters.find((delimiter) => delimiter === stated) ?? null;
}

/**
 * Whether numbers are written with a decimal comma: some are, beyond doubt, and none has a point.
 *
 * `1,234` may be a thousand and proves nothing; where both kinds stand, nothing is taken for
 * granted and commas are reported.
 *
 * @param text The beginning of the file.
 */
export function findDecimal(text: string, delimiter: Delimiter): "." | "," {
  let commas = 0;
  const end = Math.max(text.lastIndexOf("\n"), text.lastIndexOf("\r"));
  let rows: string[][];
  try {
    rows = parse(end > 0 ? text.slice(0, end) : text, {
      delimiter,
      record_delimiter: ["\r\n", "\n", "\r"],
      bom: true,
      relax_quotes: true,
      relax_column_count: true,
      skip_empty_lines: true,
      max_record_size: 1_000_000,
      to: 2000,
    });
  } catch {
    return ".";
  }
  for (const row of rows.slice(1)) {
    for (const cell of row) {
      if (/^\s*[-+]?\d*\.\d+\s*$/.test(cell)) return ".";
      if (/^\s*[-+]?\d*,(\d{1,2}|\d{4,})\s*$/.test(cell)) commas++;
    }
  }
  return commas > 0 ? "," : ".";
}
