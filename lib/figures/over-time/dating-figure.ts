import { formatNumber, formatPercent } from "../../words/mod.ts";
import * as Plot from "@observablehq/plot";
import { DataError } from "../../numerics/mod.ts";
import {
  type Figure,
  type FigureOptions,
  makeFigure,
  type Panel,
  panelHeading,
  percentTick,
  plotPanel,
  roundTicks,
  rowLayout,
  rowNames,
  sentences,
  stack,
  timeAxis,
  widest,
} from "../drawing/mod.ts";
import { drawingWidth, palette, type as typeSize } from "../theme/mod.ts";

/** One way of dating what only visits can find, with its incidence at each of `times`. */
export interface DatingRow {
  /** Name as readers see it. */
  label: string;
  /** How it is drawn. */
  role: "estimate" | "shortcut" | "bound";
  /** Proportions; NaN where a method does not reach. */
  incidence: ArrayLike<number>;
}

/**
 * What each way of dating a recurrence makes of the same visits, one frame a time: a line through
 * the rows at the estimate, a mark for each method with its value, and the range between the bounds
 * shaded.
 *
 * @example
 * ```ts
 * import { datingFigure, recurrenceShortcuts } from "mitral";
 * const visits = {
 *   lastClear: [1, 2, 0.5, 3],
 *   found: [2, Infinity, 1.5, Infinity],
 *   time: [4, 5, 3, 6],
 *   death: [0, 1, 1, 0],
 * };
 * datingFigure({
 *   id: "dating",
 *   title: "Recurrence, dated five ways",
 *   times: [1, 5],
 *   rows: recurrenceShortcuts(visits, { times: [1, 5] }),
 * });
 * ```
 * @throws {DataError} On no estimate, no time, or a row of another length.
 */
export function datingFigure(
  options: FigureOptions & {
    rows: readonly DatingRow[];
    times: readonly number[];
    /** Default "years". */
    unit?: string;
  },
): Figure {
  const { times, rows, width = drawingWidth } = options;
  if (times.length === 0) throw new DataError("times", "at least one", "none");
  rows.forEach(({ incidence }, i) => {
    if (incidence.length !== times.length) {
      throw new DataError("rows.incidence", `of length ${times.length}`, incidence, i);
    }
  });
  if (!rows.some(({ role }) => role === "estimate")) {
    throw new DataError("rows", 'one with role "estimate"', "none");
  }
  const finite = rows.flatMap(({ incidence }) => Array.from(incidence)).filter(Number.isFinite);
  const highest = Math.max(0.02, ...finite);
  const step = highest > 0.5 ? 0.2 : highest > 0.2 ? 0.1 : highest > 0.1 ? 0.05 : 0.02;
  const top = Math.ceil(highest / step - 1e-9) * step;
  const named = rows.filter(({ role }) => role !== "bound");
  const layout = rowLayout(named.map(({ label }) => label), { width, share: 0.46 });
  const unit = options.unit ?? "years";
  const heading = (t: number) => `${formatNumber(t)} ${t === 1 ? unit.replace(/s$/, "") : unit}`;
  const panels = times.map((t, k) =>
    datingPanel({ rows, named, k, heading: heading(t), layout, top, step, width })
  );
  return makeFigure(stack(panels), {
    ...options,
    redraw: (width) => datingFigure({ ...options, width }),
    caption: sentences(
      options.caption,
      rows.some(({ role }) => role === "bound") &&
        "Shaded: from no death hiding a recurrence to every death hiding one not seen; each end is " +
          "fitted by itself, so the estimate may lie a little outside",
    ),
    alt: options.alt ?? sentences(
      ...times.map((t, k) =>
        `After ${heading(t)}: ${
          rows.map(({ label, incidence }) => `${label} ${tenths(incidence[k] ?? NaN)}`)
            .join(", ")
        }`
      ),
    ),
  });
}

function datingPanel(
  spec: {
    rows: readonly DatingRow[];
    named: readonly DatingRow[];
    k: number;
    heading: string;
    layout: ReturnType<typeof rowLayout>;
    top: number;
    step: number;
    width: number;
  },
): Panel {
  const { rows, named, k, layout, top, step, width } = spec;
  const at = (row: DatingRow) => row.incidence[k] ?? NaN;
  // values stand in a column of their own, where no line runs through them
  const right = 12 + widest(named.map((row) => tenths(at(row))), typeSize.text);
  const inner = width - layout.left - right;
  const ticks = roundTicks(top, {
    most: Math.floor(inner / 48),
    steps: [step, 2 * step, 5 * step],
  });
  const sides = { left: layout.left, right, width };
  const heading = panelHeading(spec.heading, { width, marginLeft: layout.left, below: 12 });
  const axis = timeAxis(ticks, { label: "Recurrence by then", format: percentTick(ticks), sides });
  const placed = named.map((row, r) => ({ row, value: at(row), y: layout.middles[r] ?? 0 }))
    .filter(({ value }) => Number.isFinite(value));
  const bounds = rows.filter(({ role }) => role === "bound").map(at).filter(Number.isFinite);
  const estimate = rows.find(({ role }) => role === "estimate");
  const line = estimate ? [at(estimate)].filter(Number.isFinite) : [];
  const across = { y1: () => 0, y2: () => layout.height };
  const band = bounds.length > 1 ? [[Math.min(...bounds), Math.max(...bounds)] as const] : [];
  return plotPanel({
    width,
    height: heading.height + layout.height + axis.height,
    marginLeft: layout.left,
    marginTop: heading.height,
    marginRight: right,
    marginBottom: axis.height,
    x: { domain: [0, top] },
    y: { domain: [layout.height, 0] },
    marks: [
      Plot.rect(band, {
        x1: ([low]: readonly [number, number]) => low,
        x2: ([, high]: readonly [number, number]) => high,
        ...across,
        fill: palette.rule,
        className: "bounds",
      }),
      Plot.ruleX([0], { ...across, stroke: palette.axis }),
      Plot.ruleX(line, { ...across, stroke: palette.ink, strokeWidth: 1.2, className: "estimate" }),
      ...axis.marks,
      rowNames(layout, 0),
      ...heading.marks,
      Plot.dot(placed, {
        x: "value",
        y: "y",
        r: 5,
        symbol: ({ row }: Placed) => row.role === "estimate" ? "diamond" : "circle",
        fill: ({ row }: Placed) => row.role === "estimate" ? palette.ink : palette.paper,
        stroke: palette.ink,
        strokeWidth: 1.6,
        className: "method",
      }),
      Plot.text(named, {
        x: () => top,
        y: (_: DatingRow, r: number) => layout.middles[r],
        text: (row: DatingRow) => tenths(at(row)),
        dx: right - 2,
        textAnchor: "end",
        fontSize: typeSize.text,
        fontVariant: "tabular-nums",
        fill: palette.ink,
        className: "value",
      }),
    ],
  });
}

/** Methods lie close together: one decimal, whatever the size. */
function tenths(value: number): string {
  return Number.isFinite(value) ? formatPercent(value) : "not known";
}

interface Placed {
  row: DatingRow;
  value: number;
  y: number;
}
