import * as Plot from "@observablehq/plot";
import { DataError } from "../../numerics/mod.ts";
import {
  endLabels,
  type Figure,
  type FigureOptions,
  frameHeightFor,
  makeFigure,
  nameLines,
  nameSpace,
  panelHeading,
  percentText,
  percentTick,
  plotPanel,
  roundTicks,
  sentences,
  timeAxis,
  valueAxis,
} from "../drawing/mod.ts";
import { drawingWidth, palette } from "../theme/mod.ts";
import { pointNames } from "./funnel-names.ts";

/** One surgeon or unit. */
export interface FunnelPoint {
  /** Neutral code. */
  label: string;
  /** Patients. */
  n: number;
  /** Share of the unit, 0 to 1. */
  proportion: number;
  /** Whether its code is written beside it. */
  named?: boolean;
  /** Whether it lies further away than chance allows: drawn as an open square. */
  outside?: boolean;
}

/** What chance alone would allow at each number of patients. */
export interface FunnelLimits {
  /** Name as readers see it. */
  label: string;
  /** Numbers of operations at which the limits are given. */
  n: ArrayLike<number>;
  /** Lower limits. */
  lower: ArrayLike<number>;
  /** Upper limits. */
  upper: ArrayLike<number>;
}

/**
 * Proportions against the number of patients behind them, with the limits within which chance alone
 * would keep most: for seeing who differs, not for ranking.
 *
 * Points with fewer than `smallestCell` patients are left out and counted in the caption.
 *
 * @example
 * ```ts
 * import { funnelFigure, funnelLimits } from "mitral";
 * const { lower, upper } = funnelLimits({ target: 0.66, n: [50, 150, 250], confidence: 0.95 });
 * const n = [50, 150, 250];
 * funnelFigure({
 *   id: "funnel",
 *   title: "Repair rate by surgeon",
 *   points: [{ label: "S1", n: 240, proportion: 0.71 }],
 *   overall: 0.66,
 *   limits: [{ label: "95%", n, lower, upper }],
 *   yLabel: "Repaired",
 * });
 * ```
 * @throws {DataError} On no point, or a proportion outside 0 to 1.
 */
export function funnelFigure(
  options: FigureOptions & {
    points: readonly FunnelPoint[];
    overall: number;
    /** What the line across is called, "Overall". */
    overallName?: string;
    limits: readonly FunnelLimits[];
    yLabel: string;
    nLabel?: string;
    /** Default 11. */
    smallestCell?: number;
    /** A line across at a proportion aimed at, such as one named in the study file. */
    target?: { value: number; label: string };
  },
): Figure {
  const { overall, limits, smallestCell = 11, target, width = drawingWidth } = options;
  const { overallName = "Overall" } = options;
  options.points.forEach(({ proportion }, i) => {
    if (!(proportion >= 0 && proportion <= 1)) {
      throw new DataError("points.proportion", "0 to 1", proportion, i);
    }
  });
  const points = options.points.filter(({ n }) => n >= smallestCell);
  if (points.length === 0) throw new DataError("points", `one of ${smallestCell} or more`, "none");
  const most = Math.max(...points.map(({ n }) => n)) * 1.06;
  const fewest = Math.min(...points.map(({ n }) => n));
  const highest = Math.max(
    overall,
    target?.value ?? 0,
    ...points.map(({ proportion }) => proportion),
    // limits stay in the frame wherever there is a point
    ...limits.flatMap(({ n, upper }) =>
      Array.from(upper).filter((value, i) => n[i]! >= fewest && value <= 1)
    ),
  );
  const step = highest > 0.4 ? 0.25 : highest > 0.15 ? 0.1 : 0.05;
  const top = Math.min(1, (Math.floor(highest / step + 1e-9) + 1) * step);
  const ticks = Array.from({ length: Math.round(top / step) + 1 }, (_, k) => k * step);
  const named = [
    { label: overallName, value: overall },
    ...(target ? [target] : []),
    ...limits.map(({ label, upper }) => ({
      label,
      value: upper[upper.length - 1] ?? NaN,
    })),
  ];
  const names = named.map(({ label }) => nameLines(label, width));
  const sides = { left: 50, right: 16 + nameSpace(names), width };
  const heading = panelHeading(options.yLabel, { width, marginLeft: sides.left });
  const axis = timeAxis(roundTicks(most, { most: 5 }), {
    label: options.nLabel ?? "Patients",
    sides,
  });
  const margins = {
    marginLeft: sides.left,
    marginRight: sides.right,
    marginTop: heading.height,
    marginBottom: axis.height,
  };
  const frameHeight = frameHeightFor(names, Math.round(width * 0.6));
  const inside = (value: number) => Math.min(top, Math.max(0, value));
  const marks: Plot.Markish[] = [
    ...valueAxis(ticks, { format: percentTick(ticks) }),
    ...axis.marks,
    Plot.ruleY([0], { stroke: palette.axis }),
    ...heading.marks,
    Plot.ruleY([overall], { stroke: palette.quiet, strokeWidth: 1.4, className: "overall" }),
  ];
  if (target) {
    marks.push(Plot.ruleY([target.value], {
      stroke: palette.ink,
      strokeWidth: 1.4,
      strokeDasharray: "10 3 2 3",
      className: "target",
    }));
  }
  limits.forEach((limit, k) => {
    for (const side of ["lower", "upper"] as const) {
      const line = Array.from(limit.n, (n, i) => ({ n, y: limit[side][i] ?? NaN }))
        .filter(({ n, y }) => n <= most && y === inside(y));
      marks.push(Plot.line(line, {
        x: "n",
        y: "y",
        stroke: palette.axis,
        strokeWidth: 1.3,
        strokeDasharray: k === 0 ? "6 3" : "2 3",
        className: `limit-${side}`,
      }));
    }
  });
  marks.push(
    Plot.dot(points.filter(({ outside }) => !outside), {
      x: "n",
      y: "proportion",
      r: 5,
      fill: palette.ink,
      stroke: palette.paper,
      strokeWidth: 1,
      className: "point",
    }),
    Plot.dot(points.filter(({ outside }) => outside), {
      x: "n",
      y: "proportion",
      r: 6,
      symbol: "square",
      fill: palette.paper,
      stroke: palette.ink,
      strokeWidth: 2.2,
      className: "point-outside",
    }),
    ...pointNames(points, { sides, most, top, frameHeight, overall, limits }),
    ...endLabels(
      named.flatMap(({ value }, k) =>
        Number.isFinite(value)
          ? [{ lines: names[k] ?? [], color: palette.quiet, x: most, y: inside(value) }]
          : []
      ),
      {
        domain: [0, top],
        height: frameHeight,
        right: most,
        perUnit: most / (width - sides.left - sides.right),
        gap: 12,
      },
    ),
  );
  const panel = plotPanel({
    width,
    height: margins.marginTop + frameHeight + margins.marginBottom,
    ...margins,
    x: { domain: [0, most] },
    y: { domain: [0, top] },
    marks,
  });
  const left = options.points.length - points.length;
  return makeFigure(panel, {
    ...options,
    redraw: (width) => funnelFigure({ ...options, width }),
    caption: sentences(
      options.caption,
      points.some(({ outside }) => outside) &&
        "Open squares: further from the line than chance explains",
      left > 0 && `${left} with fewer than ${smallestCell} patients are not drawn`,
    ),
    alt: options.alt ?? sentences(
      `${options.yLabel} against number of patients, ${overallName.toLowerCase()} ${
        percentText(overall)
      }`,
      ...points.map(({ label, n, proportion }) => `${label}: ${percentText(proportion)} of ${n}`),
    ),
  });
}
