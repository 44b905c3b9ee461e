import type { Numbers } from "../../numerics/mod.ts";
import { formatPercent, roundTo } from "../../words/mod.ts";
import * as Plot from "@observablehq/plot";
import {
  type Figure,
  type FigureOptions,
  linePanel,
  makeFigure,
  sentences,
} from "../drawing/mod.ts";
import { drawingWidth, palette } from "../theme/mod.ts";

/** A fitted line over calendar years. */
export interface DrawnTrend {
  /** Times, in one unit. */
  time: Numbers;
  /** The estimates. */
  estimate: Numbers;
  /** Lower limits. */
  lower: Numbers;
  /** Upper limits. */
  upper: Numbers;
}

/**
 * An outcome by calendar year: each year's share with its limits, the fitted line, and from the
 * first planned date on the line that would have gone on without a change.
 *
 * @example
 * ```ts
 * import { trendFigure } from "mitral";
 * const fitted = {
 *   time: [2015, 2016],
 *   estimate: [0.7, 0.72],
 *   lower: [0.62, 0.65],
 *   upper: [0.77, 0.78],
 * };
 * trendFigure({
 *   id: "repair-rate-years",
 *   title: "Repair rate by year",
 *   years: [{ year: 2015, estimate: 0.7, lower: 0.6, upper: 0.79 }],
 *   fitted,
 *   yLabel: "Repaired",
 * });
 * ```
 * @throws {DataError} On columns of unlike length or times out of order.
 */
export function trendFigure(
  options: FigureOptions & {
    /** Years that may be published; drawn at their middle. */
    years: readonly { year: number; estimate: number; lower: number; upper: number }[];
    fitted: DrawnTrend;
    unchanged?: DrawnTrend;
    dates?: readonly { at: number; label: string }[];
    yLabel: string;
    format?: (value: number) => string;
    yDomain?: readonly [number, number];
  },
): Figure {
  const { fitted, unchanged, dates = [], width = drawingWidth } = options;
  // shares in whole per cent: exact ones would tell how many there were in each year
  const years = options.format ? options.years : options.years.map(inWholePercent);
  const format = options.format ?? ((value: number) => formatPercent(value, { digits: 0 }));
  const after = unchanged && dates.length > 0 ? from(unchanged, dates[0]!.at) : undefined;
  const { panel } = linePanel({
    width,
    curves: [
      { label: "Fitted", role: "repair", x: fitted.time, ...columns(fitted) },
      ...(after && after.time.length > 1
        ? [{
          label: "Without a change",
          role: "fourth" as const,
          x: after.time,
          estimate: after.estimate,
        }]
        : []),
    ],
    xLabel: "Year of operation",
    yLabel: options.yLabel,
    format,
    ...(options.yDomain ? { yDomain: options.yDomain } : options.format ? {} : { yDomain: [0, 1] }),
    xFormat: String,
    xTicks: wholeYears(fitted.time),
    thresholds: dates,
    over: () => [
      Plot.link(years, {
        x1: ({ year }: { year: number }) => year + 0.5,
        x2: ({ year }: { year: number }) => year + 0.5,
        y1: "lower",
        y2: "upper",
        stroke: palette.ink,
        strokeWidth: 1.3,
        className: "year-limits",
      }),
      Plot.dot(years, {
        x: ({ year }: { year: number }) => year + 0.5,
        y: "estimate",
        r: 4.5,
        fill: palette.ink,
        stroke: palette.paper,
        strokeWidth: 1.2,
        className: "year",
      }),
    ],
  });
  return makeFigure(panel, {
    ...options,
    redraw: (width) => trendFigure({ ...options, width }),
    caption: sentences(
      options.caption,
      "Points: each year, with its limits",
      dates.length > 0 && "Upright lines: dates named beforehand",
    ),
    alt: options.alt ?? sentences(
      `${options.yLabel} by year of operation`,
      ...years.map(({ year, estimate }) => `${year}: ${format(estimate)}`),
    ),
  });
}

/** At most seven round years within those drawn. */
function wholeYears(time: Numbers): number[] {
  const [first, last] = [Math.ceil(time[0] ?? 0), Math.floor(time[time.length - 1] ?? 0)];
  const step = [1, 2, 5, 10, 20].find((size) => (last - first) / size < 7) ?? 50;
  const start = Math.ceil(first / step) * step;
  return Array.from(
    { length: Math.max(0, Math.floor((last - start) / step) + 1) },
    (_, k) => start + k * step,
  );
}

function columns({ estimate, lower, upper }: DrawnTrend) {
  return { estimate, lower, upper };
}

function from(trend: DrawnTrend, start: number): { time: number[]; estimate: number[] } {
  const places = Array.from(trend.time, (_, k) => k).filter((k) => trend.time[k]! >= start);
  return {
    time: places.map((k) => trend.time[k]!),
    estimate: places.map((k) => trend.estimate[k]!),
  };
}

function inWholePercent(
  { year, estimate, lower, upper }: {
    year: number;
    estimate: number;
    lower: number;
    upper: number;
  },
) {
  const whole = (share: number) => roundTo(share, 2);
  return { year, estimate: whole(estimate), lower: whole(lower), upper: whole(upper) };
}
