import * as Plot from "@observablehq/plot";
import { spread, widest, wrapText } from "./letters.ts";
import { palette, type as typeSize } from "../theme/mod.ts";

/** The name of one line or area, to stand to the right of the frame beside its end. */
export interface EndLabel {
  lines: readonly string[];
  color: string;
  /** Written under the name. */
  value?: string;
  /** Where the line ends. */
  x: number;
  y: number;
}

/** What a frame tells those who write beside it. */
export interface Frame {
  domain: readonly [number, number];
  height: number;
  /** The right end of the horizontal scale. */
  right: number;
  /** How much of the horizontal scale one drawing unit is. */
  perUnit: number;
  /** From the frame to the names. */
  gap: number;
}

const lineHeight = 18;

/** A name in lines that fit to the right of a frame. */
export function nameLines(label: string, width: number): string[] {
  return wrapText(label, width * 0.27, { size: typeSize.label, bold: true });
}

/** How wide the margin must be that holds these names. */
export function nameSpace(names: readonly (readonly string[])[]): number {
  return Math.max(34, ...names.map((lines) => widest(lines, typeSize.label, { bold: true })));
}

/** How tall a frame must be for its names to stand beside it; no less than `wanted`. */
export function frameHeightFor(names: readonly (readonly string[])[], wanted: number): number {
  const needed = names.reduce((sum, lines) => sum + lineHeight * (lines.length + 1) + 4, -14);
  return Math.max(wanted, needed);
}

/** Each name beside its end, moved only as far as is needed for all to be read. */
export function endLabels(labels: readonly EndLabel[], frame: Frame): Plot.Markish[] {
  const [low, high] = frame.domain;
  const toPixel = (value: number) => (frame.height * (high - value)) / (high - low);
  const toValue = (pixel: number) => high - (pixel * (high - low)) / frame.height;
  const heights = labels.map(({ lines, value }) =>
    lineHeight * (lines.length + (value ? 1 : 0)) + 4
  );
  const centres = spread(
    labels.map(({ y }, k) => ({ position: toPixel(y), size: heights[k] ?? 0 })),
    [-8, frame.height + 6],
  );
  return labels.flatMap((label, k) => {
    const centre = centres[k] ?? 0;
    const top = centre - (heights[k] ?? 0) / 2 + 2;
    const marks: Plot.Markish[] = [];
    const moved = Math.abs(centre - toPixel(label.y)) > 4;
    if (moved || label.x < frame.right - 2 * frame.perUnit) {
      const path = [
        [label.x, label.y],
        [Math.max(label.x, frame.right), label.y],
        [frame.right + (frame.gap - 4) * frame.perUnit, toValue(centre)],
      ];
      marks.push(Plot.line(path, {
        stroke: palette.axis,
        strokeWidth: 0.9,
        strokeDasharray: "1 2.5",
        className: "leader",
      }));
    }
    const text = (content: string, y: number, options: Plot.TextOptions) =>
      Plot.text([content], {
        x: () => frame.right,
        y: () => toValue(y),
        dx: frame.gap,
        textAnchor: "start",
        lineAnchor: "top",
        lineHeight: lineHeight / typeSize.label,
        fontSize: typeSize.label,
        ...options,
      });
    marks.push(text(label.lines.join("\n"), top, {
      fontWeight: 600,
      fill: label.color,
      className: "curve-label",
    }));
    if (label.value) {
      marks.push(text(label.value, top + lineHeight * label.lines.length, {
        fill: palette.ink,
        className: "curve-value",
      }));
    }
    return marks;
  });
}
