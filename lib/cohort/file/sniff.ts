import { parse } from "csv-parse/sync";
import type { Delimiter } from "./file-format.ts";

// the comma last: where others stand as often, it may be a decimal one
const delimiters: Delimiter[] = [";", "\t", ","];

/** How many of the first lines are looked at. */
const mostLines = 200;

/**
 * What separates the values: whichever of comma, semicolon and tab stands equally often, outside
 * quotation marks, in the most of the first lines, lines with more of it counting for more. So
 * neither a title with a comma in it nor decimal commas decide. Excel's own `sep=;` line does.
 *
 * @param text The beginning of the file.
 */
export function findDelimiter(text: string): Delimiter {
  const stated = statedDelimiter(text);
  if (stated) return stated;
  const lines = countedLines(text);
  const scoreOf = (delimiter: Delimiter): number => {
    const alike = Map.groupBy(lines, (counts) => counts[delimiters.indexOf(delimiter)] ?? 0);
    return Math.max(0, ...[...alike].map(([count, { length }]) => count * length));
  };
  const best = delimiters.reduce((best, one) => scoreOf(one) > scoreOf(best) ? one : best);
  return scoreOf(best) > 0 ? best : ",";
}

/** How often each of the delimiters stands in each of the first lines that are not blank. */
function countedLines(text: string): number[][] {
  const lines: number[][] = [];
  let counts = delimiters.map(() => 0);
  let quoted = false;
  let blank = true;
  for (const character of text) {
    if (character === '"') quoted = !quoted;
    else if ((character === "\n" || character === "\r") && !quoted) {
      if (blank) continue;
      lines.push(counts);
      if (lines.length === mostLines) return lines;
      counts = delimiters.map(() => 0);
      blank = true;
    } else {
      blank = false;
      const place = quoted ? -1 : delimiters.findIndex((delimiter) => delimiter === character);
      if (place >= 0) counts[place] = (counts[place] ?? 0) + 1;
    }
  }
  return blank ? lines : [...lines, counts];
}

/** The delimiter of a first line `sep=;`, which a spreadsheet program writes for itself. */
export function statedDelimiter(text: string): Delimiter | null {
  const stated = /^\uFEFF?"?sep=([,;\t])"?\r?\n/i.exec(text)?.[1];
  return delimiters.find((delimiter) => delimiter === stated) ?? null;
}

// 0.123 is none
const thousands = /^\s*[-+]?[1-9]\d{0,2}\.\d{3}\s*$/;

/**
 * Whether numbers are written with a decimal comma: some are, beyond doubt, and none has a point.
 *
 * `1,234` and `1.234` may be a thousand and prove nothing; where both kinds stand, nothing is taken
 * for granted and commas are reported.
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
      if (/^\s*[-+]?\d*\.\d+\s*$/.test(cell) && !thousands.test(cell)) return ".";
      if (/^\s*[-+]?\d*,(\d{1,2}|\d{4,})\s*$/.test(cell)) commas++;
    }
  }
  return commas > 0 ? "," : ".";
}
