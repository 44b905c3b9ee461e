import type { Numbers } from "../../numerics/mod.ts";
import { formatPercent, roundTo } from "../../words/mod.ts";
import * as Plot from "@observablehq/plot";
import {
  type Figure,
  type FigureOptions,
  linePanel,
  makeFigure,
  percentText,
  sentences,
} from "../drawing/mod.ts";
import { drawingWidth, palette, type as typeSize } from "../theme/mod.ts";

/** In whole per cent: steps that are exact would tell how many events there are. */
function published(shares: Numbers): number[] {
  return Array.from(shares, (share) => roundTo(share, 2));
}

/**
 * Concentration curve: what share of the events comes from what share of the
 * patients, hardest first;
 * on the dashed line, every patient would have the same chance.
 *
 * @example
 * ```ts
 * import { concentrationCurve, concentrationFigure } from "mitral";
 * const outcome = [0, 0, 1, 0, 1, 0, 0, 1];
 * const score = [1, 2, 5, 2, 4, 1, 3, 5];
 * concentrationFigure({
 *   id: "concentration",
 *   title: "How few patients make the replacements",
 *   curve: concentrationCurve({ outcome, score }, { seed: 1 }),
 *   marked: 0.2,
 *   events: "replacements",
 * });
 * ```
 * @throws {DataError} On columns of unlike length or shares out of order.
 */
export function concentrationFigure(
  options: FigureOptions & {
    curve: {
      patients: Numbers;
      events: Numbers;
      lower: Numbers;
      upper: Numbers;
      at(share: number): { estimate: number; lower: number; upper: number };
    };
    /** Share of the patients whose events are written out, 0.2. */
    marked?: number;
    /** What is counted, in the plural. */
    events: string;
  },
): Figure {
  const { curve, events, marked = 0.2, width = drawingWidth } = options;
  const { estimate, lower, upper } = curve.at(marked);
  const format = (value: number) => formatPercent(value, { digits: 0 });
  const words = `${percentText(marked)} of patients: ${percentText(estimate)} ` +
    `(${percentText(lower)} to ${percentText(upper)})`;
  const side = Math.min(width - 78, 400);
  const { panel } = linePanel({
    width: side + 78,
    frameHeight: side,
    curves: [{
      x: curve.patients,
      estimate: published(curve.events),
      lower: published(curve.lower),
      upper: published(curve.upper),
    }],
    xLabel: "Share of patients, hardest first",
    yLabel: `Share of ${events}`,
    format,
    xFormat: format,
    xTicks: [0, 0.25, 0.5, 0.75, 1],
    xDomain: [0, 1],
    yDomain: [0, 1],
    under: [Plot.line([[0, 0], [1, 1]], {
      stroke: palette.axis,
      strokeDasharray: "4 4",
      className: "even",
    })],
    over: () => [
      Plot.line([[marked, 0], [marked, estimate], [0, estimate]], {
        stroke: palette.quiet,
        strokeDasharray: "2 3",
        className: "marked-lines",
      }),
      Plot.dot([[marked, estimate]], {
        r: 5,
        fill: palette.ink,
        stroke: palette.paper,
        strokeWidth: 1.2,
        className: "marked",
      }),
      Plot.text([words], {
        x: () => 0.98,
        y: () => 0.06,
        textAnchor: "end",
        fontSize: typeSize.text,
        fill: palette.ink,
        className: "marked-label",
      }),
    ],
  });
  return makeFigure(panel, {
    ...options,
    redraw: (width) => concentrationFigure({ ...options, width }),
    caption: sentences(
      options.caption,
      "Shaded: confidence limits",
      "On the dashed line every patient would have the same chance",
    ),
    alt: options.alt ?? sentences(`Share of ${events} by share of patients, hardest first`, words),
  });
}
