import { countText, formatPercent } from "../../words/mod.ts";
import { boundedCount } from "../../disclosure/mod.ts";

/**
 * Width of a text in drawing units, on the safe side: no fonts are read, so each letter counts as
 * wide as it is in the widest common sans-serif.
 */
export function textWidth(text: string, size: number, options: { bold?: boolean } = {}): number {
  let ems = 0;
  for (const letter of text) ems += letterWidth(letter);
  return ems * size * (options.bold ? 1.15 : 1);
}

function letterWidth(letter: string): number {
  if (/\p{Mark}|\p{Cf}/u.test(letter)) return 0;
  if (/[ijl|'.,:;!\s]/.test(letter)) return 0.32;
  if (/[frt()[\]/-]/.test(letter)) return 0.4;
  if (/[mwMW%@–—]/.test(letter)) return 0.95;
  if (/[A-Z<>=+−≥≤]/.test(letter)) return 0.72;
  if (letter <= "\u024f") return 0.62;
  if (/\p{Script=Greek}|\p{Script=Hebrew}/u.test(letter)) return 0.72;
  if (/\p{Script=Cyrillic}|\p{Script=Arabic}/u.test(letter)) return 0.85;
  // other scripts, and signs that take a square
  return /\p{L}|\p{Extended_Pictographic}/u.test(letter) ? 1.05 : 0.8;
}

/**
 * Breaks a text at spaces into as few lines as fit in `width`, of about equal length; a word longer
 * than a line is broken after a hyphen or, without one, between letters.
 */
export function wrapText(
  text: string,
  width: number,
  options: { size: number; bold?: boolean },
): string[] {
  const pieces = text.split(/\s+/).filter(Boolean)
    .flatMap((word) =>
      piecesOf(word, width, options).map((piece, k) => ({ piece, gap: k === 0 ? " " : "" }))
    );
  const lines = fillLines(pieces, width, options);
  if (lines.length === 1) return lines;
  let narrow = width / lines.length;
  let wide = width;
  for (let k = 0; k < 12; k++) {
    const middle = (narrow + wide) / 2;
    if (fillLines(pieces, middle, options).length > lines.length) narrow = middle;
    else wide = middle;
  }
  return fillLines(pieces, wide, options);
}

/** A word in pieces that fit; letters with their marks stay together. */
function piecesOf(
  word: string,
  width: number,
  options: { size: number; bold?: boolean },
): string[] {
  const fits = (piece: string) => textWidth(piece, options.size, options) <= width;
  if (fits(word)) return [word];
  return word.split(/(?<=[-\u2010-\u2015/])/u).flatMap((part) => {
    if (fits(part)) return [part];
    const found: string[] = [];
    let piece = "";
    for (const { segment } of graphemes.segment(part)) {
      if (piece && !fits(piece + segment)) {
        found.push(piece);
        piece = "";
      }
      piece += segment;
    }
    return [...found, piece];
  });
}

const graphemes = new Intl.Segmenter("en", { granularity: "grapheme" });

function fillLines(
  pieces: readonly { piece: string; gap: string }[],
  width: number,
  options: { size: number; bold?: boolean },
): string[] {
  const lines: string[] = [];
  let line = "";
  for (const { piece, gap } of pieces) {
    const longer = line ? `${line}${gap}${piece}` : piece;
    if (line && textWidth(longer, options.size, options) > width) {
      lines.push(line);
      line = piece;
    } else {
      line = longer;
    }
  }
  return [...lines, line];
}

/** The widest of some lines. */
export function widest(
  lines: readonly string[],
  size: number,
  options: { bold?: boolean } = {},
): number {
  return Math.max(0, ...lines.map((line) => textWidth(line, size, options)));
}

/**
 * Moves labels apart along one axis, as little as needed and never past the ends, keeping their
 * order. Positions are centres.
 */
export function spread(
  labels: readonly { position: number; size: number }[],
  range: readonly [number, number],
): number[] {
  const order = labels.map((_, k) => k)
    .sort((a, b) => (labels[a]?.position ?? 0) - (labels[b]?.position ?? 0) || a - b);
  const placed = leastMoved(order.map((k) => labels[k]!)).reduce<number[]>((places, place, i) => {
    places[order[i]!] = place;
    return places;
  }, []);
  let floor = range[0];
  for (const k of order) {
    const half = (labels[k]?.size ?? 0) / 2;
    placed[k] = Math.max(placed[k] ?? 0, floor + half);
    floor = (placed[k] ?? 0) + half;
  }
  let ceiling = range[1];
  for (const k of order.reverse()) {
    const half = (labels[k]?.size ?? 0) / 2;
    placed[k] = Math.min(placed[k] ?? 0, ceiling - half);
    ceiling = (placed[k] ?? 0) - half;
  }
  return placed;
}

/**
 * Places of labels in ascending order that touch at most, together moved least: labels that would
 * overlap share the way, so that none is pushed to its neighbour's line (least squares, by pooling
 * neighbours).
 */
function leastMoved(labels: readonly { position: number; size: number }[]): number[] {
  const offsets: number[] = [];
  labels.forEach(({ size }, k) => {
    const before = labels[k - 1];
    offsets.push(before ? offsets[k - 1]! + (before.size + size) / 2 : 0);
  });
  const blocks: { sum: number; count: number }[] = [];
  labels.forEach(({ position }, k) => {
    let block = { sum: position - offsets[k]!, count: 1 };
    for (
      let last = blocks.at(-1);
      last && last.sum / last.count >= block.sum / block.count;
      last = blocks.at(-1)
    ) {
      block = { sum: last.sum + block.sum, count: last.count + block.count };
      blocks.pop();
    }
    blocks.push(block);
  });
  const means = blocks.flatMap(({ sum, count }) => Array<number>(count).fill(sum / count));
  return means.map((mean, k) => mean + offsets[k]!);
}

/** A proportion as a whole percentage, with one decimal where it is small. */
export function percentText(proportion: number): string {
  return formatPercent(proportion, { digits: proportion > 0 && proportion < 0.0995 ? 1 : 0 });
}

/** A count that may be printed: those from 1 to below the smallest cell only as a bound. */
export function cellCount(count: number, smallestCell: number): string {
  return publishedText(boundedCount(count, smallestCell));
}

/** A count or a bound, as short as it stands under an axis: "1,012", "<11", ">363". */
export function publishedText(shown: number | string): string {
  return typeof shown === "number"
    ? countText(shown)
    : shown.replace(/ ?(\d+)/, (_, digits) => countText(Number(digits)));
}
