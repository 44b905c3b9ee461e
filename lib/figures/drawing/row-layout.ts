import * as Plot from "@observablehq/plot";
import { widest, wrapText } from "./letters.ts";
import { palette, type as typeSize } from "../theme/mod.ts";
import type { Sides } from "./under-frame.ts";

const lineHeight = 17;

/** Where each row of a figure stands whose rows are named to the left. */
export interface RowLayout {
  /** Each name in lines. */
  names: string[][];
  /** Middle of each row, from the top of the frame. */
  middles: number[];
  height: number;
  /** Left end of the frame. */
  left: number;
}

/** Lays out rows by the lines their names need. */
export function rowLayout(
  labels: readonly string[],
  options: {
    width: number;
    share?: number;
    between?: number;
    /** Left end of the frame, where another layout has set it. */
    left?: number;
  },
): RowLayout {
  const { width, share = 0.42, between = 9, left } = options;
  const space = left === undefined
    ? Math.min(width * share, 8 + widest(labels, typeSize.text))
    : left - 10;
  const names = labels.map((label) => wrapText(label, space - 8, { size: typeSize.text }));
  let height = 0;
  const middles = names.map((lines) => {
    const row = lineHeight * lines.length + between;
    height += row;
    return height - row / 2;
  });
  return { names, middles, height, left: space + 10 };
}

/** The names of the rows, to the left of the frame. */
export function rowNames({ names, middles }: RowLayout, leftEnd: number): Plot.Markish {
  return Plot.text(names, {
    x: () => leftEnd,
    y: (_: string[], r: number) => middles[r],
    text: (lines: string[]) => lines.join("\n"),
    dx: -10,
    textAnchor: "end",
    lineHeight: lineHeight / typeSize.text,
    fontSize: typeSize.text,
    className: "row-label",
  });
}

/**
 * Names over a frame, each in lines of its own, with a thin line down to what it names; `height` is
 * what all of them take.
 */
export function namesAbove(
  names: readonly { name: string; value: number; color?: string }[],
  frame: {
    /** Where a value stands, from the left end of the frame. */
    toPixel: (value: number) => number;
    /**
     * The vertical value so many drawing units below the top of the frame. Default: that number.
     */
    toValue?: (below: number) => number;
    sides: Sides;
    /** How far below the top of the frame the thin lines end. */
    end: number;
    bold?: boolean;
  },
): { marks: Plot.Markish[]; height: number } {
  const { toPixel, toValue = (below) => below, sides: { left, width }, end, bold = true } = frame;
  const leaders: Plot.Markish[] = [];
  const texts: Plot.Markish[] = [];
  let below = -12;
  for (const { name, value, color } of names) {
    const lines = wrapText(name, width - 8, { size: typeSize.text, bold });
    const half = widest(lines, typeSize.text, { bold }) / 2;
    const pixel = toPixel(value);
    // as near to what it names as the edges of the drawing allow
    const centre = Math.min(Math.max(pixel, half + 2 - left), width - left - half - 2);
    const foot = below + 8;
    leaders.push(Plot.link([0], {
      x1: () => value,
      x2: () => value,
      y1: () => toValue(foot),
      y2: () => toValue(end),
      stroke: palette.axis,
      className: "leader",
    }));
    for (const line of lines.toReversed()) {
      const middle = below;
      texts.push(Plot.text([line], {
        x: () => value,
        y: () => toValue(middle),
        dx: centre - pixel,
        fontSize: typeSize.text,
        fontWeight: bold ? 600 : 400,
        fill: color ?? (bold ? palette.ink : palette.quiet),
        stroke: palette.paper,
        strokeWidth: 5,
        className: "sample-label",
      }));
      below -= 19;
    }
  }
  return { marks: [...leaders, ...texts], height: 2 - below };
}
