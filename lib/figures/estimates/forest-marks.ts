import * as Plot from "@observablehq/plot";
import { type GroupStyle, palette, type as typeSize } from "../theme/mod.ts";
import type { ForestLayout, ForestLine, ForestPlace } from "./forest-layout.ts";
import { hasLimits } from "./forest-words.ts";

type Domain = readonly [number, number];
/** Where a value stands on the scale. */
type At = (value: number) => number;

/** The line of no effect and the band about it, beside the rows only: through no heading. */
export function frameMarks(
  { places }: ForestLayout,
  { margin, domain: [low, high], none, at }: {
    margin?: number;
    domain: Domain;
    none: number;
    at: At;
  },
): Plot.Markish[] {
  return [
    Plot.rect(margin === undefined ? [] : places, {
      x1: () => Math.max(low, -(margin ?? 0)),
      x2: () => Math.min(high, margin ?? 0),
      y1: "top",
      y2: "bottom",
      fill: palette.rule,
      fillOpacity: 0.6,
      className: "margin",
    }),
    Plot.link(places, {
      x1: () => at(none),
      x2: () => at(none),
      y1: "top",
      y2: "bottom",
      stroke: palette.axis,
      className: "no-effect",
    }),
  ];
}

/** Names, risks and numbers, each in its column. */
export function lettersMarks(
  { lines, leaders, left }: ForestLayout,
  { styles, start }: { styles?: readonly GroupStyle[]; start: number },
): Plot.Markish[] {
  const letters = lines.map((line) =>
    Plot.text([line], {
      x: () => start,
      y: "y",
      text: "text",
      dx: line.x - left,
      textAnchor: line.anchor,
      fontSize: line.part === "section-label" ? typeSize.label : typeSize.text,
      fontWeight: line.bold ? 600 : 400,
      fontVariant: line.anchor === "end" ? "tabular-nums" : undefined,
      fill: fillOf(line, styles),
      className: line.part,
    })
  );
  const stems = leaders.map(({ x, from, to }, group) =>
    Plot.link([0], {
      x1: () => start,
      x2: () => start,
      y1: () => from,
      y2: () => to,
      dx: x - left,
      stroke: styles?.[group]?.color ?? palette.axis,
      strokeDasharray: styles?.[group]?.dash || undefined,
      className: "leader",
    })
  );
  return [...stems, ...letters];
}

function fillOf({ group, quiet }: ForestLine, styles?: readonly GroupStyle[]): string {
  if (group !== undefined) return styles?.[group]?.textColor ?? palette.ink;
  return quiet ? palette.quiet : palette.ink;
}

/** One effect: its limits, an arrow where they leave the scale, and its estimate. */
export function rowMarks(
  { row, y, overall }: ForestPlace,
  { domain: [low, high], at }: { domain: Domain; at: At },
): Plot.Markish[] {
  const marks: Plot.Markish[] = [
    Plot.link(hasLimits(row) ? [0] : [], {
      x1: () => at(Math.max(low, row.lower)),
      x2: () => at(Math.min(high, row.upper)),
      y1: () => y,
      y2: () => y,
      stroke: palette.ink,
      strokeWidth: overall ? 2.6 : 1.7,
      className: "limits",
    }),
  ];
  const ends = [
    { beyond: row.lower < low, x: low, rotate: -90 },
    { beyond: row.upper > high, x: high, rotate: 90 },
  ];
  for (const { beyond, x, rotate } of ends) {
    if (!beyond) continue;
    marks.push(Plot.dot([0], {
      x: () => at(x),
      y: () => y,
      symbol: "triangle",
      rotate,
      r: 4.5,
      fill: palette.ink,
      className: "beyond",
    }));
  }
  if (row.estimate >= low && row.estimate <= high) {
    marks.push(Plot.dot([0], {
      x: () => at(row.estimate),
      y: () => y,
      symbol: overall ? "diamond" : "circle",
      r: overall ? 6.5 : 5,
      fill: palette.ink,
      className: "estimate",
    }));
  }
  return marks;
}
