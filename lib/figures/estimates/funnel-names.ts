import * as Plot from "@observablehq/plot";
import { palette, type Sides, type as typeSize, widest, wrapText } from "../drawing/mod.ts";
import type { FunnelLimits, FunnelPoint } from "./funnel-figure.ts";

/** Where a funnel is drawn. */
interface FunnelFrame {
  sides: Sides;
  /** Largest number and proportion in the frame. */
  most: number;
  top: number;
  frameHeight: number;
  limits: readonly FunnelLimits[];
}

interface Place {
  /** Middle of the name, in pixels from the point. */
  dx: number;
  dy: number;
  anchor: "start" | "middle" | "end";
}

const lineHeight = 18;
// from the middle of a point to the near edge of its name
const clear = 9;

/** The name of a point: over it, under it or beside it, where it is on no limit and within the drawing. */
export function pointName(point: FunnelPoint, frame: FunnelFrame): Plot.Markish {
  const { sides: { width } } = frame;
  const lines = wrapText(point.label, 0.4 * width, { size: typeSize.text });
  const size = { wide: widest(lines, typeSize.text), high: lineHeight * lines.length };
  const reach = clear + size.high / 2;
  const places: Place[] = [
    { dx: 0, dy: -reach, anchor: "middle" },
    { dx: 0, dy: reach, anchor: "middle" },
    { dx: clear, dy: 0, anchor: "start" },
    { dx: -clear, dy: 0, anchor: "end" },
  ];
  const { dx, dy, anchor } = places.reduce((best, place) =>
    faults(point, place, size, frame) < faults(point, best, size, frame) ? place : best
  );
  return Plot.text([lines.join("\n")], {
    x: () => point.n,
    y: () => point.proportion,
    dx,
    dy,
    textAnchor: anchor,
    lineAnchor: "middle",
    lineHeight: lineHeight / typeSize.text,
    fontSize: typeSize.text,
    fill: palette.ink,
    stroke: palette.paper,
    strokeWidth: 4,
    className: "point-label",
  });
}

/** How much is wrong with a place: limits that cross the name, and above all edges that cut it. */
function faults(
  { n, proportion }: FunnelPoint,
  { dx, dy, anchor }: Place,
  { wide, high }: { wide: number; high: number },
  { sides: { left, right, width }, most, top, frameHeight, limits }: FunnelFrame,
): number {
  const across = (width - left - right) / most;
  const start = n * across + dx - (anchor === "middle" ? wide / 2 : anchor === "end" ? wide : 0);
  const upper = frameHeight * (1 - proportion / top) + dy - high / 2;
  const cut = start < 2 - left || start + wide > width - left - 2 || upper < 0 ||
    upper + high > frameHeight;
  let crossed = 0;
  for (const limit of limits) {
    for (const line of [limit.lower, limit.upper]) {
      const crosses = Array.from(limit.n).some((at, i) => {
        const x = at * across;
        const y = frameHeight * (1 - (line[i] ?? NaN) / top);
        return x >= start && x <= start + wide && y >= upper && y <= upper + high;
      });
      if (crosses) crossed++;
    }
  }
  return crossed + (cut ? 100 : 0);
}
