import { formatChange, formatNumber, per100 } from "../../words/mod.ts";
import * as Plot from "@observablehq/plot";
import { DataError } from "../../numerics/mod.ts";
import {
  directionTexts,
  drawingWidth,
  type Figure,
  type FigureOptions,
  makeFigure,
  palette,
  percentText,
  plotPanel,
  roundTicks,
  rowLayout,
  sentences,
  stack,
  type as typeSize,
  valueAxis,
} from "../drawing/mod.ts";

/** One way of making the comparison, and its answer. */
export interface DrawnPath {
  estimate: number;
  lower: number;
  upper: number;
  /** The option of each choice, by id. */
  choices: Readonly<Record<string, string>>;
  planned?: boolean;
}

/** One choice and its options, by id. */
export interface DrawnChoice {
  id: string;
  label: string;
  options: readonly { id: string; label: string }[];
}

// Below this many drawing units a path, marks of neighbours that chose alike are joined.
const dotRoom = 5;

/**
 * Differences of proportions by every path, in the order of their estimates, with limits; beneath,
 * a row for each option with a mark under every path that took it. The plan's own path is named, and
 * a band shows differences too small to matter.
 *
 * @example
 * ```ts
 * pathsFigure({
 *   id: "survival-paths",
 *   title: "Alive at 5 years, by every path",
 *   ...survival, // of `studyPaths`
 *   directions: ["More alive: replacement", "More alive: repair"],
 * });
 * ```
 * @throws {DataError} On no path, an estimate outside its limits, or a choice that is no option.
 */
export function pathsFigure(
  options: FigureOptions & {
    dimensions: readonly DrawnChoice[];
    /** In any order. */
    paths: readonly DrawnPath[];
    /** Of proportions; no band without it. */
    smallestDifference?: number;
    /** What is below and above zero. */
    directions?: readonly [string, string];
  },
): Figure {
  const { dimensions, smallestDifference, width = drawingWidth } = options;
  checkPaths(options.paths, dimensions);
  const paths = [...options.paths].sort((a, b) => a.estimate - b.estimate);
  const rows = rowsOf(dimensions, paths);
  const layout = rowLayout(rows.map(({ label }) => label), { width, share: 0.46 });
  const margins = { marginLeft: layout.left, marginRight: 12 };
  const x = { domain: [-0.5, paths.length - 0.5] as [number, number] };
  const perPath = (width - margins.marginLeft - margins.marginRight) / paths.length;
  const upper = estimatesPanel(paths, { ...options, smallestDifference, width, margins, x });
  const lower = choicesPanel(paths, rows, { width, margins, x, perPath });
  const share = (holds: (path: DrawnPath) => boolean) =>
    percentText(paths.filter(holds).length / paths.length);
  const planned = paths.find((path) => path.planned);
  const text = (value: number) => perHundred(value, 1);
  return makeFigure(stack([upper, lower], { gap: 8 }), {
    ...options,
    redraw: (width) => pathsFigure({ ...options, width }),
    caption: sentences(
      options.caption,
      `${paths.length} paths, in the order of their estimates; lines are confidence limits, dark ` +
        "where they leave zero out",
      smallestDifference !== undefined &&
        `In the band the difference is below ${
          formatNumber(per100(smallestDifference), { digits: 0 })
        } per 100`,
    ),
    alt: options.alt ?? sentences(
      `${paths.length} estimates, per 100, from ${text(paths[0]!.estimate)} to ` +
        text(paths.at(-1)!.estimate),
      `${share(({ estimate }) => estimate > 0)} are above zero`,
      `Limits leave zero out in ${share(({ lower, upper }) => lower > 0 || upper < 0)}`,
      planned &&
        `The plan's own: ${text(planned.estimate)} (${text(planned.lower)} to ${
          text(planned.upper)
        })`,
    ),
  });
}

type Frame = {
  width: number;
  margins: { marginLeft: number; marginRight: number };
  x: { domain: [number, number] };
};

function estimatesPanel(
  paths: readonly DrawnPath[],
  { smallestDifference, directions, width, margins, x }: Frame & {
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
  const side = directions && directionTexts(directions, width - 24);
  const marginTop = 28 + (directions ? 22 * (side!.height > 20 ? 2 : 1) : 0);
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
    Plot.text(["Difference, per 100"], {
      frameAnchor: "top-left",
      textAnchor: "start",
      lineAnchor: "top",
      dx: 2 - margins.marginLeft,
      dy: 4 - marginTop,
      fontSize: typeSize.label,
      fontWeight: 600,
      fill: palette.ink,
      className: "heading",
    }),
    ...(directions ?? []).map((direction, end) =>
      Plot.text([`${end === 0 ? "↓" : "↑"} ${direction}`], {
        frameAnchor: "top-left",
        textAnchor: "start",
        lineAnchor: "top",
        dx: 2 - margins.marginLeft +
          (end === 1 || side!.height > 20 ? 0 : (width - 24) / 2),
        dy: 24 - marginTop + (end === 0 && side!.height > 20 ? 20 : 0),
        fontSize: typeSize.text,
        fill: palette.quiet,
        className: "direction",
      })
    ),
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

type GridRow = { label: string; heading: boolean; dimension: string; option?: string };

/** A row a dimension, as a heading, and one for each of its options that a path took. */
function rowsOf(dimensions: readonly DrawnChoice[], paths: readonly DrawnPath[]): GridRow[] {
  return dimensions.flatMap(({ id, label, options }) => [
    { label, heading: true, dimension: id },
    ...options.filter((option) => paths.some(({ choices }) => choices[id] === option.id))
      .map((option) => ({ label: option.label, heading: false, dimension: id, option: option.id })),
  ]);
}

function choicesPanel(
  paths: readonly DrawnPath[],
  rows: readonly GridRow[],
  { width, margins, x, perPath }: Frame & { perPath: number },
) {
  const layout = rowLayout(rows.map(({ label }) => label), { width, share: 0.46, between: 2 });
  const { middles, names, height } = layout;
  const marks: { from: number; to: number; y: number }[] = [];
  rows.forEach(({ dimension, option }, r) => {
    if (option === undefined) return;
    for (let k = 0; k < paths.length; k++) {
      if (paths[k]!.choices[dimension] !== option) continue;
      let end = k + 1;
      while (perPath < dotRoom && paths[end]?.choices[dimension] === option) end++;
      marks.push({ from: k, to: end - 1, y: middles[r]! });
      k = end - 1;
    }
  });
  // where paths stand apart a mark is a dot; else it is as wide as its run
  const half = perPath < dotRoom ? 0.5 : Math.min(0.5, 2.2 / perPath);
  const planned = paths.findIndex((path) => path.planned);
  const body = [true, false].map((heading) =>
    Plot.text(names.filter((_, r) => rows[r]!.heading === heading), {
      x: () => x.domain[0],
      y: (_: string[], r: number) => middles.filter((_, k) => rows[k]!.heading === heading)[r],
      text: (lines: string[]) => lines.join("\n"),
      dx: heading ? 2 - margins.marginLeft : -10,
      textAnchor: heading ? "start" : "end",
      lineHeight: 17 / typeSize.text,
      fontSize: typeSize.text,
      fontWeight: heading ? 600 : 400,
      fill: palette.ink,
      className: heading ? "section-label" : "row-label",
    })
  );
  return plotPanel({
    width,
    height: height + 8,
    ...margins,
    marginTop: 2,
    marginBottom: 6,
    x,
    y: { domain: [height, 0] },
    marks: [
      Plot.link(rows.filter(({ heading }) => !heading), {
        x1: () => x.domain[0],
        x2: () => x.domain[1],
        y1: (_: GridRow, r: number) => middles.filter((_, k) => !rows[k]!.heading)[r],
        y2: (_: GridRow, r: number) => middles.filter((_, k) => !rows[k]!.heading)[r],
        stroke: palette.rule,
        className: "row-rule",
      }),
      Plot.rect(marks, {
        x1: ({ from }: { from: number }) => from - half,
        x2: ({ to }: { to: number }) => to + half,
        y1: ({ y }: { y: number }) => y - 4,
        y2: ({ y }: { y: number }) => y + 4,
        fill: palette["ramp-3"],
        className: "choice",
      }),
      Plot.link(planned < 0 ? [] : [0], {
        x1: () => planned,
        x2: () => planned,
        y1: () => 0,
        y2: () => height,
        stroke: palette.ink,
        strokeDasharray: "2 3",
        className: "planned",
      }),
      ...body,
    ],
  });
}

function perHundred(value: number, digits: number): string {
  return formatChange(per100(value), { digits });
}

function checkPaths(paths: readonly DrawnPath[], dimensions: readonly DrawnChoice[]): void {
  if (paths.length === 0) throw new DataError("paths", "at least one", "none");
  paths.forEach(({ estimate, lower, upper, choices }, k) => {
    if (!(lower <= estimate && estimate <= upper)) {
      throw new DataError("paths.estimate", `from ${lower} to ${upper}`, estimate, k);
    }
    for (const { id, options } of dimensions) {
      if (options.some((option) => option.id === choices[id])) continue;
      throw new DataError(`paths.choices.${id}`, "one of the options", choices[id], k);
    }
  });
}
