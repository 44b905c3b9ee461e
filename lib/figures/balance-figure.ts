import * as Plot from "@observablehq/plot";
import { DataError } from "../numerics/errors.ts";
import { type Figure, type FigureOptions, makeFigure, sentences } from "./figure.ts";
import { listText, signedText, textWidth, widest, wrapText } from "./letters.ts";
import { plotPanel } from "./plot.ts";
import { drawingWidth, palette, type as typeSize } from "./theme.ts";

/** One characteristic of a {@link balanceFigure}. */
export interface BalanceRow {
  label: string;
  /** Its standardised difference in each sample, in the order of `samples`; NaN where none. */
  differences: readonly number[];
}

/** Mark of each sample in turn: open before, filled after. */
const sampleMarks = [
  { symbol: "circle", fill: palette.paper, r: 5 },
  { symbol: "circle", fill: palette.ink, r: 5 },
  { symbol: "diamond", fill: palette.quiet, r: 5.5 },
] as const;

const lineHeight = 17;

/**
 * Standardised differences of each characteristic before and after the groups were made alike, the
 * largest before at the top, with guide lines where a difference counts as small.
 *
 * @example
 * ```ts
 * balanceFigure({
 *   id: "balance",
 *   title: "How alike the groups were made",
 *   samples: ["Everyone", "Matched"],
 *   rows: [{ label: "Age", differences: [-0.42, 0.03] }],
 *   directions: ["Higher with replacement", "Higher with repair"],
 * });
 * ```
 * @throws {DataError} On no row, more than three samples, or a row of another length.
 * @see Austin (2009) Stat Med 28:3083: standardised differences, and 0.1 as the guide.
 */
export function balanceFigure(
  options: FigureOptions & {
    /** Names of the samples, first the one before; at most three. */
    samples: readonly string[];
    rows: readonly BalanceRow[];
    /** What a difference to the left and to the right means. */
    directions?: readonly [string, string];
    /** Default 0.1. */
    guide?: number;
  },
): Figure {
  const { samples, width = drawingWidth, guide = 0.1 } = options;
  checkRows(options);
  const rows = [...options.rows].sort((a, b) => size(b) - size(a) || (a.label < b.label ? -1 : 1));
  const labelSpace = Math.min(
    width * 0.42,
    8 + widest(rows.map(({ label }) => label), typeSize.text),
  );
  const labels = rows.map(({ label }) => wrapText(label, labelSpace - 8, { size: typeSize.text }));
  let y = 0;
  const middles = labels.map((lines) => {
    const height = lineHeight * lines.length + 9;
    y += height;
    return y - height / 2;
  });
  const frame = { left: labelSpace + 10, right: 14, top: 14 + samples.length * 19, height: y };
  const inner = width - frame.left - frame.right;
  const reach = reachOf(rows, guide);
  const toPixel = (value: number) => ((value + reach) / (2 * reach)) * inner;
  const half = reach > 0.5 ? Math.floor(reach * 2) / 2 : guide;
  const ticks = [-half, -guide, 0, guide, half].filter((t, i, all) =>
    all.indexOf(t) === i && Math.abs(t) <= reach &&
    (Math.abs(t) !== guide || spaced(guide, toPixel))
  );
  const directions = options.directions && directionTexts(options.directions, inner);
  const marks: Plot.Markish[] = [
    Plot.rect([0], {
      x1: () => -guide,
      x2: () => guide,
      y1: () => 0,
      y2: () => frame.height,
      fill: palette.rule,
      fillOpacity: 0.5,
      className: "guide-area",
    }),
    Plot.ruleX([-guide, guide], {
      y1: 0,
      y2: frame.height,
      stroke: palette.axis,
      strokeDasharray: "3 3",
      className: "guide",
    }),
    Plot.ruleX([0], { y1: 0, y2: frame.height, stroke: palette.axis, className: "zero" }),
    Plot.axisX(ticks, {
      tickSize: 5,
      tickPadding: 5,
      label: null,
      fontSize: typeSize.text,
      stroke: palette.axis,
      fill: palette.quiet,
      tickFormat: (t: number) => signedText(t, Number.isInteger(t) ? 0 : 1),
      className: "x-axis",
    }),
    Plot.text(["Standardised difference"], {
      frameAnchor: "bottom",
      dy: 31,
      lineAnchor: "top",
      fontSize: typeSize.text,
      fill: palette.quiet,
    }),
    ...(directions?.marks ?? []),
  ];
  rows.forEach((row, r) => {
    const middle = middles[r] ?? 0;
    const finite = row.differences.filter(Number.isFinite);
    marks.push(Plot.text([(labels[r] ?? []).join("\n")], {
      x: () => -reach,
      y: () => middle,
      dx: -10,
      textAnchor: "end",
      lineHeight: lineHeight / typeSize.text,
      fontSize: typeSize.text,
      className: "row-label",
    }));
    if (finite.length > 1) {
      marks.push(Plot.ruleY([middle], {
        x1: Math.min(...finite),
        x2: Math.max(...finite),
        stroke: palette.axis,
        strokeWidth: 1,
        className: "path",
      }));
    }
  });
  samples.forEach((_, s) => {
    const mark = sampleMarks[s];
    const points = rows.flatMap(({ differences }, r) => {
      const value = differences[s] ?? NaN;
      return Number.isFinite(value) ? [{ value, middle: middles[r] ?? 0 }] : [];
    });
    marks.push(Plot.dot(points, {
      x: "value",
      y: "middle",
      ...mark,
      stroke: palette.ink,
      strokeWidth: 1.6,
      className: `sample-${s + 1}`,
    }));
  });
  marks.push(...sampleNames(options, { rows, toPixel, first: middles[0] ?? 0, inner }));
  const bottom = 56 + (directions?.height ?? 0);
  const panel = plotPanel({
    width,
    height: frame.top + frame.height + bottom,
    marginLeft: frame.left,
    marginRight: frame.right,
    marginTop: frame.top,
    marginBottom: bottom,
    x: { domain: [-reach, reach] },
    y: { domain: [frame.height, 0] },
    marks,
  });
  return makeFigure(panel, {
    ...options,
    caption: sentences(
      options.caption,
      `Each line is one characteristic, sorted by its difference in the first sample. ` +
        `Between the dashed lines a difference is below ${guide}`,
    ),
    alt: options.alt ?? balanceAlt(options, guide),
  });
}

function spaced(guide: number, toPixel: (value: number) => number): boolean {
  return toPixel(guide) - toPixel(0) > 26;
}

/** The names of the samples above their marks in the first row, with a line to each. */
function sampleNames(
  { samples }: { samples: readonly string[] },
  at: {
    rows: readonly BalanceRow[];
    toPixel: (value: number) => number;
    first: number;
    inner: number;
  },
): Plot.Markish[] {
  const top = at.rows[0];
  const names = samples.flatMap((name, s) => {
    const value = top?.differences[s] ?? NaN;
    return Number.isFinite(value) ? [{ name, value, y: -12 - 19 * s }] : [];
  });
  const leaders = names.map(({ value, y }) =>
    Plot.link([0], {
      x1: () => value,
      x2: () => value,
      y1: () => y + 8,
      y2: () => at.first - 7,
      stroke: palette.axis,
      className: "leader",
    })
  );
  const texts = names.map(({ name, value, y }) => {
    const half = textWidth(name, typeSize.text, { bold: true }) / 2;
    const pixel = at.toPixel(value);
    return Plot.text([name], {
      x: () => value,
      y: () => y,
      dx: Math.max(half - pixel, 0) + Math.min(at.inner - half - pixel, 0),
      fontSize: typeSize.text,
      fontWeight: 600,
      fill: palette.ink,
      stroke: palette.paper,
      strokeWidth: 5,
      className: "sample-label",
    });
  });
  return [...leaders, ...texts];
}

/** What each side means, on one line where there is room, else on two. */
function directionTexts(directions: readonly [string, string], room: number) {
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

function size(row: BalanceRow): number {
  const first = Math.abs(row.differences[0] ?? NaN);
  return Number.isFinite(first) ? first : -1;
}

function reachOf(rows: readonly BalanceRow[], guide: number): number {
  const sizes = rows.flatMap(({ differences }) =>
    differences.map(Math.abs).filter(Number.isFinite)
  );
  return Math.max(3 * guide, ...sizes) * 1.08;
}

function checkRows(options: { samples: readonly string[]; rows: readonly BalanceRow[] }): void {
  const { samples, rows } = options;
  if (samples.length < 1 || samples.length > sampleMarks.length) {
    throw new DataError("samples", `1 to ${sampleMarks.length} names`, samples.length);
  }
  if (rows.length === 0) throw new DataError("rows", "at least one", "none");
  rows.forEach(({ differences }, i) => {
    if (differences.length !== samples.length) {
      throw new DataError("rows.differences", `of length ${samples.length}`, differences, i);
    }
  });
}

function balanceAlt(
  options: { samples: readonly string[]; rows: readonly BalanceRow[] },
  guide: number,
): string {
  const counts = options.samples.map((name, s) => {
    const large = options.rows.filter((row) => Math.abs(row.differences[s] ?? NaN) >= guide).length;
    return `${name}: ${large} of ${options.rows.length} at or above ${guide}`;
  });
  return `Standardised differences of ${options.rows.length} characteristics. ${listText(counts)}.`;
}
