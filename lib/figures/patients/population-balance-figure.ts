import * as Plot from "@observablehq/plot";
import { DataError } from "../../numerics/mod.ts";
import { formatNumber } from "../../words/mod.ts";
import {
  axisBelow,
  type Figure,
  type FigureOptions,
  makeFigure,
  plotPanel,
  roundTicks,
  sentences,
  wrapText,
} from "../drawing/mod.ts";
import { drawingWidth, palette, type as typeSize } from "../theme/mod.ts";

/** One population of a {@link populationBalanceFigure}. */
export interface PopulationBalance {
  /** Name as readers see it. */
  label: string;
  /** Sizes of the standardised differences of its characteristics, all 0 or more. */
  before: readonly number[];
  /** Standardised differences under weights, absolute. */
  after: readonly number[];
}

const band = 30;

/**
 * How alike the groups were made in each of several populations: for each, the size of every
 * characteristic's standardised difference before and after, one mark a characteristic.
 *
 * @example
 * ```ts
 * import { populationBalanceFigure } from "mitral";
 * populationBalanceFigure({
 *   id: "populations-balance",
 *   title: "How alike the groups were made in each population",
 *   populations: [{ label: "Secondary", before: [0.4, 0.2], after: [0.01, 0.03] }],
 * });
 * ```
 * @throws {DataError} without a population, or on a size below 0.
 * @see Austin (2009) Stat Med 28:3083: standardised differences, and 0.1 as the guide.
 */
export function populationBalanceFigure(
  options: FigureOptions & { populations: readonly PopulationBalance[]; guide?: number },
): Figure {
  const { populations, guide = 0.1, width = drawingWidth } = options;
  if (populations.length === 0) throw new DataError("populations", "at least one", "none");
  const sizes = populations.flatMap(({ before, after }) => [...before, ...after]);
  sizes.forEach((size, i) => {
    if (!(size >= 0)) throw new DataError("populations", "sizes of 0 or more", size, i);
  });
  const left = Math.round(width * 0.36);
  const lines: { text: string; y: number }[] = [];
  const marks: { x: number; y: number; after: boolean }[] = [];
  const rows: { text: string; y: number }[] = [];
  let y = 0;
  for (const { label, before, after } of populations) {
    const wrapped = wrapText(label, left - 70, { size: typeSize.text });
    wrapped.forEach((text, k) => lines.push({ text, y: y + 16 + 16 * k }));
    const samples = [["before", before, false], ["after", after, true]] as const;
    samples.forEach(([text, values, isAfter], k) => {
      const at = y + 16 + band * k * 0.75;
      rows.push({ text, y: at });
      for (const x of values) marks.push({ x, y: at, after: isAfter });
    });
    y += Math.max(2 * band, 16 * wrapped.length + 14);
  }
  const reach = Math.max(2 * guide, ...sizes) * 1.04;
  const panel = plotPanel({
    width,
    height: y + 60,
    marginLeft: left,
    marginRight: 16,
    marginTop: 6,
    marginBottom: 54,
    x: { domain: [0, reach] },
    y: { domain: [y, 0] },
    marks: [
      Plot.link([guide], {
        x1: (x: number) => x,
        x2: (x: number) => x,
        y1: () => 0,
        y2: () => y,
        stroke: palette.axis,
        strokeDasharray: "3 3",
        className: "guide",
      }),
      axisBelow(roundTicks(reach, { start: 0, most: 5 })),
      Plot.text(["Size of the standardised difference"], {
        frameAnchor: "bottom",
        dy: 31,
        lineAnchor: "top",
        fontSize: typeSize.text,
        fill: palette.quiet,
        className: "x-label",
      }),
      Plot.text(lines, {
        x: () => 0,
        y: "y",
        text: "text",
        dx: 2 - left,
        textAnchor: "start",
        fontSize: typeSize.text,
        fill: palette.ink,
        className: "row-label",
      }),
      Plot.text(rows, {
        x: () => 0,
        y: "y",
        text: "text",
        dx: -8,
        textAnchor: "end",
        fontSize: typeSize.text,
        fill: palette.quiet,
        className: "sample-label",
      }),
      Plot.dot(marks, {
        x: "x",
        y: "y",
        r: 4,
        stroke: palette.ink,
        fill: (mark: { after: boolean }) => mark.after ? palette.ink : palette.paper,
        fillOpacity: 0.7,
        className: "differences",
      }),
    ],
  });
  const largest = (values: readonly number[]) =>
    values.length > 0 ? formatNumber(Math.max(...values), { digits: 2 }) : "not known";
  return makeFigure(panel, {
    ...options,
    redraw: (width) => populationBalanceFigure({ ...options, width }),
    caption: sentences(
      options.caption,
      `Each mark is one characteristic. The dashed line is at ${guide}`,
    ),
    alt: options.alt ?? sentences(
      "Largest standardised difference",
      ...populations.map(({ label, before, after }) =>
        `${label}: ${largest(before)} before, ${largest(after)} after`
      ),
    ),
  });
}
