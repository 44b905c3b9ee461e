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
  plotPanel,
  roundTicks,
  sentences,
  type as typeSize,
  wrapText,
} from "../drawing/mod.ts";

/** One effect with its limits. */
export interface ForestRow {
  label: string;
  estimate: number;
  lower: number;
  upper: number;
  /** Counts as they are to be printed, such as "Repair 24 of 210". */
  counts?: readonly string[];
}

/** Rows that answer one question, such as one subgroup variable. */
export interface ForestSection {
  label?: string;
  /** Where the threshold came from. */
  source?: string;
  /** The test of whether the effect differs between the rows, as it is to be printed. */
  interaction?: string;
  rows: readonly ForestRow[];
}

const lineHeight = 18;

type Line = { text: string; y: number; bold?: boolean; quiet?: boolean; wide?: boolean };
type Placed = { row: ForestRow; y: number; top: number; bottom: number; overall: boolean };

/**
 * Effects with their limits in subgroups or analyses, on one scale; under each name the effect in
 * figures and its counts, and with each section where its threshold came from and the test of
 * interaction, as given.
 *
 * A ratio is drawn on a logarithmic scale; a difference of proportions per 100 patients. Limits
 * that leave the scale end in an arrow. A row without an estimate or limits (NaN) says so in words.
 *
 * @example
 * ```ts
 * forestFigure({
 *   id: "subgroups",
 *   title: "Death after repair against replacement, by subgroup",
 *   scale: "ratio",
 *   axisLabel: "Hazard ratio",
 *   directions: ["Fewer deaths with repair", "More with repair"],
 *   sections: [{
 *     label: "Tethering",
 *     source: "10 mm: expert criterion",
 *     interaction: "p = 0.21 for interaction",
 *     rows: [{ label: "Up to 10 mm", estimate: 0.8, lower: 0.6, upper: 1.07 }],
 *   }],
 * });
 * ```
 * @throws {DataError} On no row, an estimate outside its limits, or a ratio of 0 or less.
 */
export function forestFigure(
  options: FigureOptions & {
    sections: readonly ForestSection[];
    /** Drawn first and larger. */
    overall?: ForestRow;
    scale: "ratio" | "difference";
    axisLabel: string;
    directions?: readonly [string, string];
    /** Half-width of a shaded band around no effect: the smallest difference that matters. */
    margin?: number;
    /** Ends of the scale. Default: what holds the limits, but not past 1/8 and 8 for ratios. */
    domain?: readonly [number, number];
  },
): Figure {
  const { sections, overall, scale, margin, width = drawingWidth } = options;
  if (margin !== undefined && !(scale === "difference" && margin > 0)) {
    throw new DataError("margin", "> 0, of a difference", margin);
  }
  const all = [...(overall ? [overall] : []), ...sections.flatMap(({ rows }) => rows)];
  checkRows(all, scale);
  const left = Math.round(width * 0.42);
  const right = 16;
  const { lines, placed, height } = layOut(options, { left, width });
  const { domain, ticks } = scaleOf(all, options);
  const [low, high] = domain;
  const inner = width - left - right;
  const none = scale === "ratio" ? 1 : 0;
  // a ratio stands at its logarithm, so that halving and doubling are equally far
  const at = scale === "ratio" ? Math.log : (value: number) => value;
  const directions = options.directions && directionTexts(options.directions, inner);
  const marks: Plot.Markish[] = [
    // beside the rows only: no line runs through a heading
    Plot.rect(margin === undefined ? [] : placed, {
      x1: () => Math.max(low, -(margin ?? 0)),
      x2: () => Math.min(high, margin ?? 0),
      y1: "top",
      y2: "bottom",
      fill: palette.rule,
      fillOpacity: 0.6,
      className: "margin",
    }),
    Plot.link(placed, {
      x1: () => at(none),
      x2: () => at(none),
      y1: "top",
      y2: "bottom",
      stroke: palette.axis,
      className: "no-effect",
    }),
    Plot.axisX(ticks.map(at), {
      tickSize: 5,
      tickPadding: 5,
      label: null,
      fontSize: typeSize.text,
      stroke: palette.axis,
      fill: palette.quiet,
      tickFormat: (_: number, k: number) =>
        scale === "ratio" ? String(ticks[k]) : perHundred(ticks[k] ?? 0, 0),
      className: "x-axis",
    }),
    Plot.text([options.axisLabel], {
      frameAnchor: "bottom",
      dy: 31,
      lineAnchor: "top",
      fontSize: typeSize.text,
      fill: palette.quiet,
      className: "x-label",
    }),
    ...(directions?.marks ?? []),
    Plot.text(lines, {
      x: () => at(low),
      y: "y",
      text: "text",
      dx: 2 - left,
      textAnchor: "start",
      fontSize: typeSize.text,
      fontWeight: 400,
      fill: (line: Line) => (line.quiet ? palette.quiet : palette.ink),
      filter: (line: Line) => !line.bold,
      stroke: palette.paper,
      strokeWidth: 9,
      className: "row-label",
    }),
    Plot.text(lines.filter(({ bold }) => bold), {
      x: () => at(low),
      y: "y",
      text: "text",
      dx: 2 - left,
      textAnchor: "start",
      fontSize: typeSize.label,
      fontWeight: 600,
      fill: palette.ink,
      stroke: palette.paper,
      strokeWidth: 9,
      className: "section-label",
    }),
  ];
  for (const { row, y, overall } of placed) {
    marks.push(...rowMarks(row, { y, overall, domain, at }));
  }
  const bottom = 56 + (directions?.height ?? 0);
  const panel = plotPanel({
    width,
    height: 6 + height + bottom,
    marginLeft: left,
    marginRight: right,
    marginTop: 6,
    marginBottom: bottom,
    x: { domain: domain.map(at) },
    y: { domain: [height, 0] },
    marks,
  });
  return makeFigure(panel, {
    ...options,
    redraw: (width) => forestFigure({ ...options, width }),
    caption: sentences(
      options.caption,
      "Lines are confidence limits",
      margin !== undefined &&
        `Shaded: differences below ${
          formatNumber(per100(margin), { digits: 0 })
        } per 100, too small to matter by the plan`,
    ),
    alt: options.alt ??
      sentences(options.axisLabel, ...all.map((row) => `${row.label}: ${effectText(row, scale)}`)),
  });
}

/** Every line of text to the left, and where each row's mark stands. */
function layOut(
  options: {
    sections: readonly ForestSection[];
    overall?: ForestRow;
    scale: "ratio" | "difference";
  },
  { left, width }: { left: number; width: number },
) {
  const lines: Line[] = [];
  const placed: Placed[] = [];
  let y = 0;
  const write = (text: string, style: Omit<Line, "text" | "y">) => {
    const room = style.wide ? width - 4 : left - 14;
    for (const line of wrapText(text, room, { size: typeSize.text, bold: style.bold })) {
      lines.push({ text: line, y: y + lineHeight / 2, ...style });
      y += lineHeight;
    }
  };
  const place = (row: ForestRow, overall: boolean) => {
    const top = y;
    write(row.label, { bold: overall });
    write(effectText(row, options.scale), {});
    for (const count of row.counts ?? []) write(count, { quiet: true });
    placed.push({ row, y: (top + y) / 2, top: top - 5, bottom: y + 5, overall });
    y += 10;
  };
  if (options.overall) place(options.overall, true);
  for (const { label, source, interaction, rows } of options.sections) {
    if (label) {
      y += y > 0 ? 10 : 0;
      write(label, { bold: true, wide: true });
      for (const note of [source, interaction]) if (note) write(note, { quiet: true, wide: true });
      y += 5;
    }
    for (const row of rows) place(row, false);
  }
  return { lines, placed, height: y };
}

function rowMarks(
  row: ForestRow,
  place: {
    y: number;
    overall: boolean;
    domain: readonly [number, number];
    /** Where a value stands on the scale. */
    at: (value: number) => number;
  },
): Plot.Markish[] {
  const { y, overall, domain: [low, high], at } = place;
  const limits = hasLimits(row);
  const marks: Plot.Markish[] = [
    Plot.link(limits ? [0] : [], {
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

function scaleOf(
  rows: readonly ForestRow[],
  options: { scale: "ratio" | "difference"; domain?: readonly [number, number] },
): { domain: readonly [number, number]; ticks: number[] } {
  // what is not known has no place; with nothing known the scale is about no effect
  const known = rows.flatMap((row) => hasLimits(row) ? [row.lower, row.upper] : [row.estimate])
    .filter((value) => !Number.isNaN(value));
  const none = options.scale === "ratio" ? [0.5, 2] : [-0.05, 0.05];
  const lowest = Math.min(...(known.length > 0 ? known : none));
  const highest = Math.max(...(known.length > 0 ? known : none));
  if (options.scale === "ratio") {
    const steps = [0.125, 0.25, 0.5, 1, 2, 4, 8];
    const domain = options.domain ?? [
      Math.min(0.5, steps.findLast((s) => s <= lowest) ?? 0.125),
      Math.max(2, steps.find((s) => s >= highest) ?? 8),
    ];
    return { domain, ticks: steps.filter((s) => s >= domain[0] && s <= domain[1]) };
  }
  const [low, high] = options.domain ?? [Math.min(lowest, 0), Math.max(highest, 0)];
  const pad = options.domain ? 0 : (high - low) * 0.04;
  const domain = [low - pad, high + pad] as const;
  return { domain, ticks: roundTicks(domain[1], { start: domain[0], most: 4 }) };
}

function effectText(row: ForestRow, scale: "ratio" | "difference"): string {
  const text = scale === "ratio"
    ? (value: number) => formatNumber(value, { digits: 2 })
    : (value: number) => perHundred(value, 1);
  if (Number.isNaN(row.estimate)) return "no estimate";
  if (!hasLimits(row)) return `${text(row.estimate)}, no limits`;
  return `${text(row.estimate)} (${text(row.lower)} to ${text(row.upper)})`;
}

function hasLimits({ estimate, lower, upper }: ForestRow): boolean {
  return !Number.isNaN(estimate) && !Number.isNaN(lower) && !Number.isNaN(upper);
}

function perHundred(value: number, digits: number): string {
  return formatChange(per100(value), { digits });
}

function checkRows(rows: readonly ForestRow[], scale: "ratio" | "difference"): void {
  if (rows.length === 0) throw new DataError("sections", "with at least one row", "none");
  rows.forEach((row, i) => {
    const { estimate, lower, upper } = row;
    for (const value of [estimate, lower, upper]) {
      if (typeof value !== "number") throw new DataError("rows", "numbers or NaN", value, i);
    }
    if (!hasLimits(row)) return;
    if (!(lower <= estimate && estimate <= upper)) {
      throw new DataError("rows.estimate", `from ${lower} to ${upper}`, estimate, i);
    }
    if (scale === "ratio" && !(lower > 0)) {
      throw new DataError("rows.lower", "> 0 for a ratio", lower, i);
    }
  });
}
