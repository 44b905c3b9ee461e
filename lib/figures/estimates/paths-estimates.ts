import * as Plot from "@observablehq/plot";
import { plotPanel, roundTicks, valueAxis, wrapText } from "../drawing/mod.ts";
import { palette, type as typeSize } from "../theme/mod.ts";
import { perHundred } from "./forest-words.ts";
import type { DrawnPath, PathsFrame } from "./paths-rows.ts";

/** Every path's difference with its limits, in the order given. */
export function estimatesPanel(
  paths: readonly DrawnPath[],
  { smallestDifference, directions, width, margins, x }: PathsFrame & {
    smallestDifference?: number;
    directions?: readonly [string, string];
  },
) {
  const band = smallestDifference ?? 0;
  const low = Math.min(-band, ...paths.map(({ lower }) => lower));
  const high = Math.max(band, ...paths.map(({ upper }) => upper));
  const room = 0.06 * (high - low);
  const domain: [number, number] = [low - room, high + room];
  const ticks = roundTicks(domain[1], { start: domain[0], most: 7 });
  const heading = aboveFrame(directions, { width, marginLeft: margins.marginLeft });
  const marginTop = heading.height + 8;
  const height = Math.round(width * 0.5);
  const planned = paths.findIndex((path) => path.planned);
  const clear = ({ lower, upper }: DrawnPath) => lower > 0 || upper < 0;
  const marks: Plot.Markish[] = [
    Plot.rect(band > 0 ? [0] : [], {
      x1: () => x.domain[0],
      x2: () => x.domain[1],
      y1: () => -band,
      y2: () => band,
      fill: palette["ramp-0"],
      className: "no-matter",
    }),
    ...valueAxis(ticks, { format: (value) => perHundred(value, 0) }),
    Plot.ruleY([0], { stroke: palette.axis, className: "no-effect" }),
    Plot.link(paths, {
      x1: (_: DrawnPath, k: number) => k,
      x2: (_: DrawnPath, k: number) => k,
      y1: "lower",
      y2: "upper",
      stroke: (path: DrawnPath) => clear(path) ? palette["ramp-3"] : palette["ramp-1"],
      className: "limits",
    }),
    Plot.dot(paths, {
      x: (_: DrawnPath, k: number) => k,
      y: "estimate",
      r: 1.8,
      fill: palette.ink,
      className: "estimate",
    }),
    ...heading.marks(marginTop),
    ...plannedMarks(paths, planned, domain),
  ];
  return plotPanel({
    width,
    height: marginTop + height + 6,
    ...margins,
    marginTop,
    marginBottom: 6,
    x,
    y: { domain },
    marks,
  });
}

/** What is drawn, and what is below and above zero: each in lines that stay inside the drawing. */
function aboveFrame(
  directions: readonly [string, string] | undefined,
  { width, marginLeft }: { width: number; marginLeft: number },
) {
  const texts = [
    { text: "Difference, per 100", bold: true },
    ...(directions ? [`↑ ${directions[1]}`, `↓ ${directions[0]}`] : [])
      .map((text) => ({ text, bold: false })),
  ].flatMap(({ text, bold }) =>
    wrapText(text, width - 4, { size: typeSize.label, bold }).map((text) => ({ text, bold }))
  );
  const marks = (marginTop: number): Plot.Markish[] =>
    texts.map(({ text, bold }, k) =>
      Plot.text([text], {
        frameAnchor: "top-left",
        textAnchor: "start",
        lineAnchor: "top",
        dx: 2 - marginLeft,
        dy: 4 + 20 * k - marginTop,
        fontSize: bold ? typeSize.label : typeSize.text,
        fontWeight: bold ? 600 : 400,
        fill: bold ? palette.ink : palette.quiet,
        className: bold ? "heading" : "direction",
      })
    );
  return { height: 4 + 20 * texts.length, marks };
}

function plannedMarks(
  paths: readonly DrawnPath[],
  planned: number,
  domain: readonly [number, number],
): Plot.Markish[] {
  const path = paths[planned];
  if (!path) return [];
  const late = planned > paths.length / 2;
  return [
    Plot.link([path], {
      x1: () => planned,
      x2: () => planned,
      y1: () => domain[0],
      y2: () => domain[1],
      stroke: palette.ink,
      strokeDasharray: "2 3",
      className: "planned",
    }),
    Plot.dot([path], {
      x: () => planned,
      y: "estimate",
      symbol: "diamond",
      r: 5.5,
      fill: palette.ink,
      stroke: palette.paper,
      strokeWidth: 1.2,
      className: "planned-estimate",
    }),
    Plot.text(["as planned"], {
      x: () => planned,
      y: () => late ? domain[0] : domain[1],
      dx: late ? -6 : 6,
      dy: late ? -9 : 9,
      textAnchor: late ? "end" : "start",
      fontSize: typeSize.text,
      fontWeight: 600,
      fill: palette.ink,
      stroke: palette.paper,
      strokeWidth: 5,
      className: "planned-label",
    }),
  ];
}
