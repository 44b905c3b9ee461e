import type { Numbers } from "../../numerics/mod.ts";
import { formatPercent } from "../../words/mod.ts";
import * as Plot from "@observablehq/plot";
import {
  type Figure,
  type FigureOptions,
  linePanel,
  makeFigure,
  sentences,
} from "../drawing/mod.ts";
import { drawingWidth, palette, type as typeSize } from "../theme/mod.ts";

/** The number of operations to a plateau, with its limits; Infinity where they are open. */
export interface DrawnPlateau {
  /** The estimate. */
  estimate: number;
  /** Lower limit. */
  lower: number;
  /** Upper limit. */
  upper: number;
}

/**
 * Learning curve: how an outcome goes with the operations that a surgeon has done before, its
 * limits, and the range of cases in which the plateau may lie.
 *
 * @example
 * ```ts
 * import { learningFigure } from "mitral";
 * const experience = [1, 50, 100];
 * const estimate = [0.2, 0.1, 0.08];
 * const lower = [0.14, 0.07, 0.05];
 * const upper = [0.28, 0.14, 0.12];
 * learningFigure({
 *   id: "learning-conversion",
 *   title: "Conversion by experience",
 *   curve: { experience, estimate, lower, upper },
 *   yLabel: "Converted to replacement",
 *   plateau: { estimate: 45, lower: 31, upper: 65 },
 * });
 * ```
 * @throws {DataError} On columns of unlike length or experience out of order.
 */
export function learningFigure(
  options: FigureOptions & {
    curve: { experience: Numbers; estimate: Numbers; lower: Numbers; upper: Numbers };
    yLabel: string;
    xLabel?: string;
    plateau?: DrawnPlateau;
    /** Letters of the vertical ticks; default: percent. */
    format?: (value: number) => string;
    yDomain?: readonly [number, number];
  },
): Figure {
  const { curve, plateau, width = drawingWidth, yDomain } = options;
  const format = options.format ?? ((value: number) => formatPercent(value, { digits: 0 }));
  const last = curve.experience[curve.experience.length - 1] ?? 0;
  const shown = plateau && [plateau.lower, plateau.upper].map((end) => Math.min(last, end));
  const { panel, points } = linePanel({
    width,
    curves: [{
      x: curve.experience,
      estimate: curve.estimate,
      lower: curve.lower,
      upper: curve.upper,
    }],
    xLabel: options.xLabel ?? "Operations that the surgeon had done before",
    yLabel: options.yLabel,
    format,
    ...(yDomain ? { yDomain } : options.format ? {} : { yDomain: percentDomain(curve.upper) }),
    xDomain: [0, last],
    over: ([bottom]) => shown ? plateauMarks(plateau, shown, bottom) : [],
  });
  return makeFigure(panel, {
    ...options,
    redraw: (width) => learningFigure({ ...options, width }),
    caption: sentences(
      options.caption,
      "Shaded: confidence limits",
      plateau && "Bar at the bottom: where the plateau may begin, its likeliest place marked",
    ),
    alt: options.alt ?? sentences(
      `${options.yLabel} by operations done before`,
      ...points.map((line) =>
        line.filter((_, k) => k === 0 || k === line.length - 1)
          .map(({ at, estimate }) => `${format(estimate)} at ${Math.round(at)}`).join(", ")
      ),
      plateau && `Plateau from ${Math.round(plateau.estimate)} operations, ${rangeText(plateau)}`,
    ),
  });
}

function plateauMarks(
  plateau: DrawnPlateau,
  [from = 0, to = 0]: number[],
  bottom: number,
): Plot.Markish[] {
  const ends = [from, ...(plateau.upper === Infinity ? [] : [to])];
  return [
    Plot.link([{ from, to }], {
      x1: "from",
      x2: "to",
      y1: () => bottom,
      y2: () => bottom,
      stroke: palette.ink,
      strokeWidth: 4,
      className: "plateau-range",
    }),
    Plot.dot([plateau.estimate], {
      x: (value: number) => value,
      y: () => bottom,
      r: 6,
      fill: palette.paper,
      stroke: palette.ink,
      strokeWidth: 2.5,
      className: "plateau",
    }),
    Plot.text(ends, {
      x: (value: number) => value,
      y: () => bottom,
      text: (value: number) => String(Math.round(value)),
      lineAnchor: "bottom",
      dy: -8,
      fontSize: typeSize.text,
      fill: palette.ink,
      stroke: palette.paper,
      strokeWidth: 4,
      className: "plateau-label",
    }),
  ];
}

function rangeText({ lower, upper }: DrawnPlateau): string {
  return upper === Infinity
    ? `at least ${Math.round(lower)}`
    : `${Math.round(lower)} to ${Math.round(upper)}`;
}

/** From 0 to the first round step above all limits. */
function percentDomain(upper: Numbers): [number, number] {
  const highest = Array.from(upper).reduce((most, value) => Math.max(most, value), 0);
  const step = highest > 0.5 ? 0.25 : highest > 0.2 ? 0.1 : 0.05;
  return [0, Math.min(1, Math.ceil(highest / step - 1e-9) * step)];
}
