import * as Plot from "@observablehq/plot";
import { DataError } from "../../numerics/mod.ts";
import { roundTo } from "../../words/mod.ts";
import {
  type Figure,
  type FigureOptions,
  makeFigure,
  panelHeading,
  percentText,
  percentTick,
  plotPanel,
  sentences,
  timeAxis,
  valueAxis,
} from "../drawing/mod.ts";
import { drawingWidth, palette, type as typeSize } from "../theme/mod.ts";

/** Patients of about the same predicted risk. */
export interface CalibrationPoint {
  /** Mean predicted chance, 0 to 1. */
  predicted: number;
  /** Share that had the event, 0 to 1. */
  observed: number;
  /** Lower limit. */
  lower: number;
  /** Upper limit. */
  upper: number;
  /** Patients. */
  n: number;
}

/** In whole per cent: sums of exact shares over all points would tell how many had the event. */
function published({ predicted, observed, lower, upper, n }: CalibrationPoint): CalibrationPoint {
  const whole = (share: number) => roundTo(share, 2);
  return {
    predicted: whole(predicted),
    observed: whole(observed),
    lower: whole(lower),
    upper: whole(upper),
    n,
  };
}

/**
 * Observed against predicted risk: each point a set of patients with its limits, and the line on
 * which both agree. Points are drawn in whole per cent.
 *
 * @example
 * ```ts
 * import { calibrationFigure } from "mitral";
 * calibrationFigure({
 *   id: "calibration",
 *   title: "Predicted and observed",
 *   points: [{ predicted: 0.1, observed: 0.12, lower: 0.08, upper: 0.17, n: 180 }],
 * });
 * ```
 * @throws {DataError} On no point, or a value outside 0 to 1.
 */
export function calibrationFigure(
  options: FigureOptions & {
    points: readonly CalibrationPoint[];
    /** A smooth curve through all patients. */
    smooth?: { predicted: ArrayLike<number>; observed: ArrayLike<number> };
    /** Top of both scales. Default: the first round step above all. */
    top?: number;
    predictedLabel?: string;
    observedLabel?: string;
  },
): Figure {
  const { smooth, width = drawingWidth } = options;
  const points = options.points.map(published);
  if (points.length === 0) throw new DataError("points", "at least one", "none");
  points.forEach((point, i) => {
    for (const name of ["predicted", "observed", "lower", "upper"] as const) {
      const value = point[name];
      if (!(value >= 0 && value <= 1)) throw new DataError(`points.${name}`, "0 to 1", value, i);
    }
  });
  const highest = Math.max(...points.flatMap(({ predicted, upper }) => [predicted, upper]));
  const step = highest > 0.5 ? 0.25 : highest > 0.2 ? 0.1 : 0.05;
  const top = options.top ?? Math.min(1, Math.ceil(highest / step - 1e-9) * step);
  const count = Math.round(top / step);
  const ticks = Array.from({ length: count + 1 }, (_, k) => Number((k * step).toFixed(4)));
  const ends = { marginLeft: 50, marginRight: 30 };
  const side = Math.min(width - ends.marginLeft - ends.marginRight, 400);
  const format = percentTick(ticks);
  const all = side + ends.marginLeft + ends.marginRight;
  const sides = { left: ends.marginLeft, right: ends.marginRight, width: all };
  const heading = panelHeading(options.observedLabel ?? "Observed", { ...ends, width: all });
  const axis = timeAxis(ticks, {
    label: options.predictedLabel ?? "Predicted risk",
    format,
    sides,
  });
  const margins = { ...ends, marginTop: heading.height, marginBottom: axis.height };
  const line = smooth
    ? Array.from(smooth.predicted, (predicted, i) => ({
      predicted,
      observed: smooth.observed[i] ?? NaN,
    })).filter(({ predicted, observed }) => predicted <= top && observed <= top)
    : [];
  const panel = plotPanel({
    width: all,
    height: side + margins.marginTop + margins.marginBottom,
    ...margins,
    x: { domain: [0, top] },
    y: { domain: [0, top] },
    marks: [
      ...valueAxis(ticks, { format }),
      ...axis.marks,
      ...heading.marks,
      Plot.line([[0, 0], [top, top]], {
        stroke: palette.axis,
        strokeDasharray: "4 4",
        className: "agreement",
      }),
      Plot.text(["Both agree"], {
        x: () => top * 0.97,
        y: () => top * 0.97,
        rotate: -45,
        textAnchor: "end",
        dy: -10,
        dx: -8,
        fontSize: typeSize.text,
        fill: palette.quiet,
        className: "agreement-label",
      }),
      Plot.ruleY([0], { stroke: palette.axis }),
      Plot.line(line, {
        x: "predicted",
        y: "observed",
        stroke: palette.quiet,
        strokeWidth: 1.8,
        className: "smooth",
      }),
      Plot.link(points, {
        x1: "predicted",
        x2: "predicted",
        y1: "lower",
        y2: (point: CalibrationPoint) => Math.min(top, point.upper),
        stroke: palette.ink,
        strokeWidth: 1.5,
        className: "limits",
      }),
      Plot.dot(points, {
        x: "predicted",
        y: "observed",
        r: 5,
        fill: palette.ink,
        stroke: palette.paper,
        strokeWidth: 1.2,
        className: "point",
      }),
    ],
  });
  return makeFigure(panel, {
    ...options,
    redraw: (width) => calibrationFigure({ ...options, width }),
    caption: sentences(
      options.caption,
      "On the dashed line as many had the event as predicted; above it, more",
      line.length > 0 && "Grey line: smoothed over all patients",
    ),
    alt: options.alt ?? sentences(
      "Observed against predicted risk",
      ...points.map(({ predicted, observed, n }) =>
        `Predicted ${percentText(predicted)}, observed ${percentText(observed)} of ${n}`
      ),
    ),
  });
}
