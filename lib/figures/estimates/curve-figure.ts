import {
  type EffectCurve,
  type Figure,
  type FigureOptions,
  linePanel,
  makeFigure,
  sentences,
} from "../drawing/mod.ts";
import { formatNumber } from "../../words/mod.ts";

/**
 * A smooth effect over a measurement, such as risk over ventricular dimension: the line with its
 * limits, one for each group or one for all, and marks where a published threshold stands.
 *
 * @example
 * ```ts
 * import { curveFigure, formatPercent } from "mitral";
 * const x = [50, 60, 70];
 * const estimate = [0.1, 0.15, 0.22];
 * const lower = [0.06, 0.11, 0.16];
 * const upper = [0.15, 0.2, 0.3];
 * curveFigure({
 *   id: "effect-of-dimension",
 *   title: "Recurrence by end-diastolic dimension",
 *   curves: [{ x, estimate, lower, upper }],
 *   xLabel: "End-diastolic dimension, mm",
 *   yLabel: "Recurrence within 5 years",
 *   format: (value) => formatPercent(value, { digits: 0 }),
 *   thresholds: [{ at: 65, label: "65 mm" }],
 * });
 * ```
 * @throws {DataError} On no curve, columns of unlike length, x out of order or not finite.
 */
export function curveFigure(
  options: FigureOptions & {
    curves: readonly EffectCurve[];
    xLabel: string;
    yLabel: string;
    /** Letters of the vertical ticks. */
    format?: "percent" | ((value: number) => string);
    xDomain?: readonly [number, number];
    yDomain?: readonly [number, number];
    thresholds?: readonly { at: number; label: string }[];
    /** Where a line across says "no effect". */
    reference?: number;
  },
): Figure {
  const { curves } = options;
  const { panel, points, format } = linePanel(options);
  return makeFigure(panel, {
    ...options,
    redraw: (width) => curveFigure({ ...options, width }),
    caption: sentences(
      options.caption,
      curves.some(({ lower }) => lower) && "Shaded: confidence limits",
    ),
    alt: options.alt ?? sentences(
      `${options.yLabel} by ${options.xLabel}`,
      ...points.map((line, k) => {
        const [first, last] = [line[0], line.at(-1)];
        const name = curves[k]?.label ?? "The curve";
        if (!first || !last) return `${name}: nothing in the range drawn`;
        // where somebody's value lies to the last figure is nobody's business
        const at = (value: number) => formatNumber(Number(value.toPrecision(3)));
        return `${name}: ${format(first.estimate)} at ${at(first.at)}, ${
          format(last.estimate)
        } at ${at(last.at)}`;
      }),
    ),
  });
}
