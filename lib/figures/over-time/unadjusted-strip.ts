import { element, type FigureOptions, type Panel, textLines, wrapText } from "../drawing/mod.ts";
import { drawingWidth, palette, type as typeSize } from "../theme/mod.ts";

/** Over curves of groups as they were: what these do not compare. */
export function unadjustedStrip({ version, width = drawingWidth }: FigureOptions): Panel[] {
  if (version?.design !== "unadjusted") return [];
  return [warningStrip(
    "Unadjusted: the groups were not alike before operation. This compares patients, not operations.",
    width,
  )];
}

/** A warning in a frame of its own over a drawing, so that no picture of it goes without. */
function warningStrip(text: string, width: number): Panel {
  const lines = wrapText(text, width - 24, { size: typeSize.text, bold: true });
  const height = 18 * lines.length + 14;
  return {
    width,
    height,
    content: [
      element("rect", {
        x: 1,
        y: 1,
        width: width - 2,
        height: height - 2,
        fill: palette["ramp-0"],
        stroke: palette.ink,
        "stroke-dasharray": "4 3",
        "data-part": "warning-frame",
      }),
      ...textLines(lines, { x: 12, y: 22, weight: 600, leading: 18, part: "warning" }),
    ],
  };
}
