import { dayOf, numberOf } from "../cells/mod.ts";
import { isUnit } from "./laid-out.ts";

/** One of the first records of a sheet, with its line. */
export interface HeadRecord {
  line: number;
  cells: string[];
}

/** Where the column names of a sheet stand. */
export interface FoundHeader {
  /** One line, or two that are read together. */
  lines: number[];
  /** Whether nothing else could be the header. */
  sure: boolean;
  reason: string;
}

// A header is at least this share as wide as the widest record, and as much of it is words: common
// practice, no source.
const leastWidth = 0.6;
const leastWords = 0.8;

/**
 * Finds the line of column names among the first records of a sheet: the first that is nearly as
 * wide as the table, is words that differ from each other, and has records of another kind beneath.
 * Titles above it are narrow; a line of group names above it, and of units beneath, belong to it.
 */
export function findHeader(records: readonly HeadRecord[]): FoundHeader | null {
  const widths = records.map(({ cells }) => filledOf(cells).length);
  const widest = Math.max(0, ...widths);
  if (widest === 0) return null;
  const could = records.map((record, i) =>
    widths[i]! >= Math.max(2, leastWidth * widest) && isWords(record.cells)
  );
  // of names merged across two lines neither line need be wide
  const place = records.findIndex(({ cells }, i) => {
    const beneath = records[i + 1]?.cells ?? [];
    return could[i] || (areMergedNames(cells, beneath) &&
      Math.max(filledTo(cells), filledTo(beneath)) >= leastWidth * widest);
  });
  if (place < 0) return null;
  const header = records[place]!;
  const next = records[place + 1];
  const before = records[place - 1];
  const title = place === 0 ? "the first line" : `line ${header.line}, beneath ${place} narrower`;
  if (next && areUnits(next.cells)) {
    return {
      lines: [header.line, next.line],
      sure: place === 0,
      reason: `${title}, with units in the line beneath`,
    };
  }
  if (
    next && (could[place + 1] && looksLikeGroups(header.cells, next.cells) ||
      areMergedNames(header.cells, next.cells))
  ) {
    return {
      lines: [header.line, next.line],
      sure: false,
      reason: `${title}, with names in two lines`,
    };
  }
  if (before && before.line === header.line - 1 && looksLikeGroups(before.cells, header.cells)) {
    return {
      lines: [before.line, header.line],
      sure: false,
      reason: `line ${header.line}, with names of groups of columns above`,
    };
  }
  return { lines: [header.line], sure: place === 0, reason: title };
}

/** Whether a line is units and nothing else; one letter alone could be a value. */
function areUnits(cells: readonly string[]): boolean {
  const filled = filledOf(cells);
  return filled.length > 0 && filled.every(isUnit) &&
    !(filled.length === 1 && /^\p{L}$/u.test((filled[0] ?? "").trim()));
}

/**
 * Whether a line names groups of the columns beneath: fewer names, over columns that have names.
 */
function looksLikeGroups(upper: readonly string[], lower: readonly string[]): boolean {
  const places = upper.flatMap((cell, place) => cell.trim() === "" ? [] : [place]);
  const named = filledOf(lower).length;
  return places.length >= 2 && places.length <= 0.7 * named &&
    places.every((place) => (lower[place] ?? "").trim() !== "");
}

/**
 * Whether two lines are names of which some are merged across both lines and others are groups: a
 * blank above is named beneath, and beneath at least one name stands nothing.
 */
function areMergedNames(upper: readonly string[], lower: readonly string[]): boolean {
  const width = Math.max(filledTo(upper), filledTo(lower));
  const places = Array.from({ length: width }, (_, place) => ({
    above: (upper[place] ?? "").trim() !== "",
    beneath: (lower[place] ?? "").trim() !== "",
  }));
  return filledOf(upper).length >= 2 && isWords(upper) && isWords(lower) &&
    places.every(({ above, beneath }) => above || beneath) &&
    places.some(({ above }) => !above) && places.some(({ beneath }) => !beneath);
}

function filledTo(cells: readonly string[]): number {
  return cells.findLastIndex((cell) => cell.trim() !== "") + 1;
}

function filledOf(cells: readonly string[]): string[] {
  return cells.filter((cell) => cell.trim() !== "");
}

function isWords(cells: readonly string[]): boolean {
  const filled = filledOf(cells).map((cell) => cell.trim());
  const words = filled.filter((cell) =>
    /\p{L}/u.test(cell) && Number.isNaN(numberOf(cell, 46)) &&
    Number.isNaN(dayOf(cell, "day-first"))
  );
  return words.length >= leastWords * filled.length &&
    new Set(filled).size >= leastWords * filled.length && !hasData(filled);
}

/** Whether cells are such as data have: numbers or dates among the words. */
function hasData(filled: readonly string[]): boolean {
  const data = filled.filter((cell) =>
    !Number.isNaN(numberOf(cell.replace(",", "."), 46)) ||
    !Number.isNaN(dayOf(cell, "day-first"))
  );
  return data.length > 0.1 * filled.length;
}
