import * as Plot from "@observablehq/plot";
import { textWidth, widest, wrapText } from "./letters.ts";
import { palette, type as typeSize } from "./theme.ts";

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

/** Names over the marks of the first row, each on a line of its own, with a thin line down to it. */
export function namesAbove(
  names: readonly { name: string; value: number; color?: string }[],
  frame: { toPixel: (value: number) => number; inner: number; first: number },
): Plot.Markish[] {
  const placed = names.map((item, k) => ({ ...item, y: -12 - 19 * k }));
  const leaders = placed.map(({ value, y }) =>
    Plot.link([0], {
      x1: () => value,
      x2: () => value,
      y1: () => y + 8,
      y2: () => frame.first - 7,
      stroke: palette.axis,
      className: "leader",
    })
  );
  const texts = placed.map(({ name, value, y, color }) => {
    const half = textWidth(name, typeSize.text, { bold: true }) / 2;
    const pixel = frame.toPixel(value);
    return Plot.text([name], {
      x: () => value,
      y: () => y,
      dx: Math.max(half - pixel, 0) + Math.min(frame.inner - half - pixel, 0),
      fontSize: typeSize.text,
      fontWeight: 600,
      fill: color ?? palette.ink,
      stroke: palette.paper,
      strokeWidth: 5,
      className: "sample-label",
    });
  });
  return [...leaders, ...texts];
}

/** What each side of a scale means, on one line where there is room, else on two. */
export function directionTexts(directions: readonly [string, string], room: number) {
  const texts = [`← ${directions[0]}`, `${directions[1]} →`];
  const together = texts.reduce((sum, text) => sum + textWidth(text, typeSize.text), 12) <= room;
  const marks = texts.map((text, side) =>
    Plot.text([text], {
      frameAnchor: side === 0 ? "bottom-left" : "bottom-right",
      textAnchor: side === 0 ? "start" : "end",
      lineAnchor: "top",
      dy: 52 + (together ? 0 : 19 * side),
      fontSize: typeSize.text,
      fill: palette.quiet,
      className: "direction",
    })
  );
  return { marks, height: together ? 20 : 39 };
}
