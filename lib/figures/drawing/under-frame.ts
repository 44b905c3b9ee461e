import * as Plot from "@observablehq/plot";
import { textWidth, wrapText } from "./letters.ts";
import { palette, type as typeSize } from "../theme/mod.ts";

/** Where a frame stands in a drawing: what is left on either side of it, and the whole width. */
export interface Sides {
  left: number;
  right: number;
  width: number;
}

/** A text under a frame: along its middle or from one of its ends. */
export interface UnderText {
  text: string;
  from: "start" | "middle" | "end";
  part: string;
}

const lineHeight = 19;
const edge = 2;

/**
 * Texts under a frame, one below the other, the first `top` below it. A text too long for the frame
 * runs on under the margins, and into more lines where the whole drawing is too narrow.
 */
export function underFrame(
  texts: readonly UnderText[],
  { left, right, width }: Sides,
  top = 31,
): { marks: Plot.Markish[]; height: number } {
  const marks: Plot.Markish[] = [];
  let y = top;
  for (const { text, from, part } of texts) {
    for (const line of wrapText(text, width - 2 * edge, { size: typeSize.text })) {
      const wide = Math.min(textWidth(line, typeSize.text), width - 2 * edge);
      const wanted = from === "start"
        ? left
        : from === "end"
        ? width - right - wide
        : (left + width - right - wide) / 2;
      const begin = Math.max(edge, Math.min(wanted, width - edge - wide));
      const share = from === "start" ? 0 : from === "end" ? 1 : 0.5;
      marks.push(Plot.text([line], {
        frameAnchor: "bottom-left",
        textAnchor: from,
        lineAnchor: "top",
        dx: begin + share * wide - left,
        dy: y,
        fontSize: typeSize.text,
        fill: palette.quiet,
        className: part,
      }));
      y += lineHeight;
    }
  }
  return { marks, height: y - top };
}

/** What each side of a scale means, on one line where there is room, else below each other. */
export function directionTexts(
  directions: readonly [string, string],
  frame: Sides,
  top: number,
): { marks: Plot.Markish[]; height: number } {
  const texts = [`← ${directions[0]}`, `${directions[1]} →`] as const;
  const needed = texts.reduce((sum, text) => sum + textWidth(text, typeSize.text), 12);
  const sides = (["start", "end"] as const).map((from, k) => ({
    text: texts[k] ?? "",
    from,
    part: "direction",
  }));
  if (needed > frame.width - frame.left - frame.right) return underFrame(sides, frame, top);
  const both = sides.map((side) => underFrame([side], frame, top));
  return { marks: both.flatMap(({ marks }) => marks), height: both[0]?.height ?? 0 };
}
