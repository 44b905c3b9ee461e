import * as Plot from "@observablehq/plot";
import { DataError, extentOf } from "../../numerics/mod.ts";
import {
  type Figure,
  type FigureOptions,
  makeFigure,
  type Panel,
  plotPanel,
  roundTicks,
  sentences,
  stack,
  timeAxis,
  valueAxis,
  wrapText,
} from "../drawing/mod.ts";
import { drawingWidth, palette, type as typeSize } from "../theme/mod.ts";

/** One column that was completed. */
export interface ImputedPanel {
  /** With its unit. */
  label: string;
  /** Quartiles of the known values, and of those drawn. */
  known: readonly [number, number, number];
  /** Quartiles of the values drawn. */
  drawn: readonly [number, number, number];
  /** Mean of the drawn values after each iteration, one row a set. */
  traces: readonly ArrayLike<number>[];
}

const panelHeight = 92;

/**
 * Whether to believe imputed values, column by column: to the left the middle half of the known
 * values and of those drawn, to the right the mean of the drawn values over the iterations, one
 * line a set. Lines should cross without going anywhere; the two halves need not agree, but should
 * not differ more than other columns explain.
 *
 * @example
 * ```ts
 * import { imputationFigure } from "mitral";
 * const traces = [[56, 57, 56.5], [57, 56, 57.5]];
 * imputationFigure({
 *   id: "imputed",
 *   title: "Values drawn where none was recorded",
 *   columns: [{ label: "Ejection fraction, %", known: [50, 58, 64], drawn: [49, 57, 63], traces }],
 * });
 * ```
 * @throws {DataError} On no column, quartiles that do not ascend, or traces of different lengths.
 */
export function imputationFigure(
  options: FigureOptions & { columns: readonly ImputedPanel[] },
): Figure {
  const { columns, width = drawingWidth } = options;
  if (columns.length === 0) throw new DataError("columns", "at least one", "none");
  columns.forEach(checkColumn);
  const panels = columns.map((column, k) =>
    columnPanel(column, { width, last: k === columns.length - 1 })
  );
  const sets = columns[0]!.traces.length;
  return makeFigure(stack(panels, { gap: 10 }), {
    ...options,
    redraw: (width) => imputationFigure({ ...options, width }),
    caption: sentences(
      options.caption,
      "Left: median and middle half of known values, filled, and of those drawn, open",
      `Right: mean of the drawn values after each iteration, ${sets} sets`,
    ),
    alt: options.alt ?? sentences(
      "Known values beside those drawn: median and quartiles",
      ...columns.map(({ label, known, drawn }) =>
        `${label}: known ${quartilesText(known)}, drawn ${quartilesText(drawn)}`
      ),
    ),
  });
}

function columnPanel(
  { label, known, drawn, traces }: ImputedPanel,
  { width, last }: { width: number; last: boolean },
): Panel {
  const iterations = traces[0]?.length ?? 0;
  const means = traces.flatMap((trace, set) =>
    Array.from(trace, (mean, k) => ({ set, iteration: k + 1, mean }))
  ).filter(({ mean }) => Number.isFinite(mean));
  const all = [...known, ...drawn, ...means.map(({ mean }) => mean)];
  const [low, high] = extentOf(all);
  const room = 0.08 * (high - low || Math.abs(high) || 1);
  const domain: [number, number] = [low - room, high + room];
  const ticks = roundTicks(domain[1], { start: domain[0], most: 3 });
  const lines = wrapText(label, width - 12, { size: typeSize.label, bold: true });
  const marginTop = 10 + 18 * lines.length;
  const marginBottom = last ? 54 : 8;
  // the two halves stand where iterations would be before the first
  const from = -0.42 * iterations;
  const places = [0.7 * from, 0.35 * from] as const;
  const halves = [
    { quartiles: known, x: places[0], known: true },
    { quartiles: drawn, x: places[1], known: false },
  ];
  const steps = roundTicks(iterations, { start: 1, most: 6, steps: [1, 2, 5, 10, 20, 50] });
  return plotPanel({
    width,
    height: marginTop + panelHeight + marginBottom,
    marginLeft: 54,
    marginRight: 14,
    marginTop,
    marginBottom,
    x: { domain: [from, iterations + 0.3] },
    y: { domain },
    marks: [
      ...valueAxis(ticks, { format: (value) => String(Number(value.toPrecision(6))) }),
      Plot.text([lines.join("\n")], {
        frameAnchor: "top-left",
        textAnchor: "start",
        lineAnchor: "top",
        dx: 2 - 54,
        dy: 2 - marginTop,
        fontSize: typeSize.label,
        lineHeight: 18 / typeSize.label,
        fontWeight: 600,
        fill: palette.ink,
        className: "heading",
      }),
      Plot.link(halves, {
        x1: "x",
        x2: "x",
        y1: ({ quartiles }: { quartiles: readonly number[] }) => quartiles[0],
        y2: ({ quartiles }: { quartiles: readonly number[] }) => quartiles[2],
        stroke: palette.ink,
        strokeWidth: 2.4,
        className: "middle-half",
      }),
      Plot.dot(halves, {
        x: "x",
        y: ({ quartiles }: { quartiles: readonly number[] }) => quartiles[1],
        r: 5,
        fill: (half: { known: boolean }) => half.known ? palette.ink : palette.paper,
        stroke: palette.ink,
        strokeWidth: 2,
        className: "median",
      }),
      Plot.line(means, {
        x: "iteration",
        y: "mean",
        z: "set",
        stroke: palette["ramp-3"],
        strokeWidth: 0.9,
        className: "trace",
      }),
      ...(last
        ? [
          ...timeAxis(steps, { sides: { left: 54, right: 14, width } }).marks,
          Plot.text(["Known, drawn"], {
            x: () => (places[0] + places[1]) / 2,
            y: () => domain[0],
            dy: 16,
            fontSize: typeSize.text,
            fill: palette.quiet,
            className: "halves-label",
          }),
          Plot.text(["Iteration"], {
            x: () => iterations / 2,
            y: () => domain[0],
            dy: 40,
            fontSize: typeSize.text,
            fill: palette.quiet,
            className: "x-label",
          }),
        ]
        : []),
    ],
  });
}

function quartilesText([lower, median, upper]: readonly [number, number, number]): string {
  const text = (value: number) => String(Number(value.toPrecision(3)));
  return `${text(median)} (${text(lower)} to ${text(upper)})`;
}

function checkColumn({ known, drawn, traces }: ImputedPanel, k: number): void {
  for (const [name, quartiles] of Object.entries({ known, drawn })) {
    const [lower, median, upper] = quartiles;
    if (!(lower <= median && median <= upper)) {
      throw new DataError(`columns.${name}`, "quartiles, ascending", quartiles, k);
    }
  }
  const length = traces[0]?.length ?? 0;
  if (length === 0 || traces.some((trace) => trace.length !== length)) {
    throw new DataError("columns.traces", "one trace a set, all of one length", length, k);
  }
}
