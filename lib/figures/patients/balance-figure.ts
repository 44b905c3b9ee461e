import { formatNumber, listText } from "../../words/mod.ts";
import * as Plot from "@observablehq/plot";
import { DataError } from "../../numerics/mod.ts";
import {
  axisBelow,
  directionTexts,
  type Figure,
  type FigureOptions,
  makeFigure,
  namesAbove,
  type Panel,
  plotPanel,
  rowLayout,
  rowNames,
  sentences,
  stack,
  underFrame,
} from "../drawing/mod.ts";
import { drawingWidth, palette } from "../theme/mod.ts";

/** One characteristic of a {@link balanceFigure}. */
export interface BalanceRow {
  /** Name as readers see it. */
  label: string;
  /** Its standardised difference in each sample, in the order of `samples`; NaN where none. */
  differences: readonly number[];
  /** Of several categories together, which has a size and no direction. Default false. */
  unsigned?: boolean;
}

/** Mark of each sample in turn: open before, filled after. */
const sampleMarks = [
  { symbol: "circle", fill: palette.paper, r: 5 },
  { symbol: "circle", fill: palette.ink, r: 5 },
  { symbol: "diamond", fill: palette.quiet, r: 5.5 },
] as const;

/**
 * Standardised differences of each characteristic before and after the groups were made alike, the
 * largest before at the top, with guide lines where a difference counts as small. Those without a
 * direction stand in a frame of their own, on the same scale, that begins at zero.
 *
 * @example
 * ```ts
 * import { balanceFigure } from "mitral";
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
  const reach = reachOf(rows, guide);
  // named by one layout, so that both frames begin at one place
  const { left } = rowLayout(rows.map(({ label }) => label), { width });
  const shared = { samples, width, guide, reach, left, directions: options.directions };
  const frames = [
    { rows: rows.filter(({ unsigned }) => !unsigned), signed: true },
    { rows: rows.filter(({ unsigned }) => unsigned), signed: false },
  ].filter((frame) => frame.rows.length > 0);
  const panels = frames.map((frame, k) => balancePanel({ ...shared, ...frame, named: k === 0 }));
  return makeFigure(stack(panels), {
    ...options,
    redraw: (width) => balanceFigure({ ...options, width }),
    caption: sentences(
      options.caption,
      `Each line is one characteristic, sorted by its difference in the first sample. ` +
        `Between the dashed lines a difference is below ${guide}`,
      rows.some(({ unsigned }) => unsigned) &&
        "Differences of several categories together have a size and no direction",
    ),
    alt: options.alt ?? balanceAlt(options, guide),
  });
}

function balancePanel(
  spec: {
    samples: readonly string[];
    rows: readonly BalanceRow[];
    /** Whether differences have a direction. */
    signed: boolean;
    /** Whether the samples are named over the first row. */
    named: boolean;
    width: number;
    guide: number;
    reach: number;
    left: number;
    directions?: readonly [string, string];
  },
): Panel {
  const { samples, rows, signed, width, guide, reach } = spec;
  const layout = rowLayout(rows.map(({ label }) => label), { width, left: spec.left });
  const { middles } = layout;
  const frame = {
    left: spec.left,
    right: 14,
    height: layout.height,
  };
  const inner = width - frame.left - frame.right;
  const named = spec.named
    ? samples.map((name, s) => ({ name, value: rows[0]?.differences[s] ?? NaN }))
      .filter(({ value }) => Number.isFinite(value))
    : [];
  const toPixel = (value: number) => ((value + reach) / (2 * reach)) * inner;
  const half = reach > 0.5 ? Math.floor(reach * 2) / 2 : guide;
  const ticks = [-half, -guide, 0, guide, half].filter((t, i, all) =>
    all.indexOf(t) === i && Math.abs(t) <= reach && (signed || t >= 0) &&
    (Math.abs(t) !== guide || spaced(guide, toPixel))
  );
  const guides = signed ? [-guide, guide] : [guide];
  const sides = { left: frame.left, right: frame.right, width };
  const above = namesAbove(named, { toPixel, sides, end: (middles[0] ?? 0) - 7 });
  const top = spec.named ? above.height : 10;
  const label = underFrame([{
    text: signed ? "Standardised difference" : "Its size, without a direction",
    from: "middle",
    part: "x-label",
  }], sides);
  const directions = signed
    ? spec.directions && directionTexts(spec.directions, sides, 33 + label.height)
    : undefined;
  const marks: Plot.Markish[] = [
    Plot.rect([0], {
      x1: () => signed ? -guide : 0,
      x2: () => guide,
      y1: () => 0,
      y2: () => frame.height,
      fill: palette.rule,
      fillOpacity: 0.5,
      className: "guide-area",
    }),
    Plot.ruleX(guides, {
      y1: 0,
      y2: frame.height,
      stroke: palette.axis,
      strokeDasharray: "3 3",
      className: "guide",
    }),
    Plot.ruleX([0], { y1: 0, y2: frame.height, stroke: palette.axis, className: "zero" }),
    axisBelow(ticks, (t) => formatNumber(t, { digits: Number.isInteger(t) ? 0 : 1 })),
    ...label.marks,
    ...(directions?.marks ?? []),
    rowNames(layout, -reach),
    ...rowPaths(rows, middles),
    ...sampleDots(samples, rows, middles),
    ...above.marks,
  ];
  const bottom = 37 + label.height + (directions?.height ?? 0);
  return plotPanel({
    width,
    height: top + frame.height + bottom,
    marginLeft: frame.left,
    marginRight: frame.right,
    marginTop: top,
    marginBottom: bottom,
    x: { domain: [-reach, reach] },
    y: { domain: [frame.height, 0] },
    marks,
  });
}

/** A thin line through the marks of each row. */
function rowPaths(rows: readonly BalanceRow[], middles: readonly number[]): Plot.Markish[] {
  return rows.flatMap((row, r) => {
    const finite = row.differences.filter(Number.isFinite);
    if (finite.length < 2) return [];
    return [Plot.ruleY([middles[r] ?? 0], {
      x1: Math.min(...finite),
      x2: Math.max(...finite),
      stroke: palette.axis,
      strokeWidth: 1,
      className: "path",
    })];
  });
}

function sampleDots(
  samples: readonly string[],
  rows: readonly BalanceRow[],
  middles: readonly number[],
): Plot.Markish[] {
  return samples.map((_, s) => {
    const points = rows.flatMap(({ differences }, r) => {
      const value = differences[s] ?? NaN;
      return Number.isFinite(value) ? [{ value, middle: middles[r] ?? 0 }] : [];
    });
    return Plot.dot(points, {
      x: "value",
      y: "middle",
      ...sampleMarks[s],
      stroke: palette.ink,
      strokeWidth: 1.6,
      className: `sample-${s + 1}`,
    });
  });
}

function spaced(guide: number, toPixel: (value: number) => number): boolean {
  return toPixel(guide) - toPixel(0) > 26;
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
  rows.forEach(({ differences, unsigned }, i) => {
    const negative = unsigned ? differences.find((value) => value < 0) : undefined;
    if (negative !== undefined) {
      throw new DataError("rows.differences", ">= 0 where they have no direction", negative, i);
    }
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
    return `${name}: ${large} of ${options.rows.length} at or above ${formatNumber(guide)}`;
  });
  return `Standardised differences of ${options.rows.length} characteristics. ${listText(counts)}.`;
}
