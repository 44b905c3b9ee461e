import * as Plot from "@observablehq/plot";
import { DataError, type Numbers } from "../../numerics/mod.ts";
import { formatNumber } from "../../words/mod.ts";
import {
  type Figure,
  type FigureOptions,
  linePanel,
  makeFigure,
  sentences,
  stack,
} from "../drawing/mod.ts";
import { drawingWidth, palette } from "../theme/mod.ts";

/** One chart of log-likelihood ratios with the limit at which it signals. */
export interface DrawnChart {
  /** Height of the chart after each operation. */
  height: Numbers;
  /** Height at which it signals. */
  limit: number;
}

/**
 * Monitoring: events observed minus expected above; under it the charts that look for deterioration
 * (upwards) and improvement (downwards), with their limits and signals.
 *
 * A series drawn operation by operation shows single patients: for what is shared, hand in means
 * over blocks (see `publishableSeries`).
 *
 * @example
 * ```ts
 * import { monitoringFigure } from "mitral";
 * const year = [2015, 2016, 2017];
 * const excess = [0.5, 1.2, 0.8];
 * const worse = [0.3, 1.1, 0.6];
 * const better = [0, 0, 0.4];
 * monitoringFigure({
 *   id: "monitoring",
 *   title: "Conversions, against what the first years let expect",
 *   at: year,
 *   excess,
 *   worse: { height: worse, limit: 3.4 },
 *   better: { height: better, limit: 3.1 },
 *   xLabel: "Year of operation",
 *   events: "Conversions",
 * });
 * ```
 * @throws {DataError} On columns of unlike length, places out of order, or a limit that is not
 * above 0.
 */
export function monitoringFigure(
  options: FigureOptions & {
    /** Where each value stands: operations so far, or years. */
    at: Numbers;
    /** Observed minus expected so far. */
    excess: Numbers;
    worse: DrawnChart;
    better?: DrawnChart;
    /** Where the charts signalled. */
    signals?: readonly { at: number; kind: "worse" | "better" }[];
    xLabel: string;
    xFormat?: (value: number) => string;
    xTicks?: readonly number[];
    /** What is counted, in the plural, with a capital. */
    events: string;
  },
): Figure {
  const { at, excess, worse, better, signals = [], width = drawingWidth } = options;
  for (const chart of [worse, ...(better ? [better] : [])]) {
    if (!(chart.limit > 0)) throw new DataError("limit", "above 0", chart.limit);
  }
  const x = {
    xLabel: options.xLabel,
    ...(options.xFormat && { xFormat: options.xFormat }),
    ...(options.xTicks && { xTicks: options.xTicks }),
    spaceFor: ["As expected", "Worse", "Better", "Limit"],
  };
  const above = linePanel({
    width,
    frameHeight: Math.round(width * 0.36),
    curves: [{ x: at, estimate: excess }],
    yLabel: `${options.events} so far, more (up) or fewer than expected`,
    format: (value) => formatNumber(value, { digits: Number.isInteger(value) ? 0 : 1 }),
    reference: 0,
    ...x,
    names: [{ label: "As expected", y: 0 }],
  });
  const down = (values: Numbers) => Float64Array.from(values, (value) => -value);
  const highest = Math.max(worse.limit, ...Array.from(worse.height));
  const lowest = better ? Math.max(better.limit, ...Array.from(better.height)) : 0;
  const limits = [
    { y: worse.limit, label: "Limit" },
    ...(better ? [{ y: -better.limit, label: "Limit" }] : []),
  ];
  const charts = linePanel({
    width,
    frameHeight: Math.round(width * 0.5),
    curves: [
      { label: "Worse", role: "replacement", x: at, estimate: worse.height },
      ...(better
        ? [{ label: "Better", role: "repair" as const, x: at, estimate: down(better.height) }]
        : []),
    ],
    yLabel: "Evidence of change",
    yDomain: [-1.15 * lowest, 1.15 * highest],
    format: (value) => formatNumber(Math.abs(value), { digits: Number.isInteger(value) ? 0 : 1 }),
    reference: 0,
    ...x,
    names: limits,
    over: () => [
      Plot.ruleY(limits, {
        y: "y",
        stroke: palette.ink,
        strokeWidth: 1.1,
        className: "limit",
      }),
      Plot.dot(signals, {
        x: "at",
        y: ({ kind }: { kind: string }) => kind === "worse" ? worse.limit : -(better?.limit ?? 0),
        r: 6,
        symbol: "diamond",
        fill: palette.ink,
        stroke: palette.paper,
        strokeWidth: 1.2,
        className: "signal",
      }),
    ],
  });
  const said = signals.map(({ at, kind }) =>
    `Signal of ${kind === "worse" ? "deterioration" : "improvement"} at ${
      options.xFormat?.(at) ?? at
    }`
  );
  return makeFigure(stack([above.panel, charts.panel]), {
    ...options,
    redraw: (width) => monitoringFigure({ ...options, width }),
    caption: sentences(
      options.caption,
      "Lower panel: upwards, evidence of deterioration" +
        (better ? "; downwards, of improvement" : "") + ". Thin lines: limits",
      signals.length > 0 && "Diamonds: signals",
    ),
    alt: options.alt ?? sentences(
      `${options.events} observed minus expected, and charts of change with their limits`,
      ...(said.length > 0 ? said : ["No signal"]),
    ),
  });
}
