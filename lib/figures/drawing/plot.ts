import * as Plot from "@observablehq/plot";
import { parseHTML } from "linkedom";
import { wrapText } from "./letters.ts";
import { fromDom, type Panel } from "./svg.ts";
import { palette, type as typeSize } from "../theme/mod.ts";
import { type Sides, underFrame } from "./under-frame.ts";

const { document } = parseHTML("<!doctype html><html><body></body></html>");

/** Draws marks without a browser, with no look of the drawing library's own. */
export function plotPanel(options: Plot.PlotOptions & { width: number; height: number }): Panel {
  const svg = Plot.plot({
    ...options,
    axis: null,
    document: document as unknown as Document,
  });
  const root = fromDom(svg as unknown as Element);
  const group = {
    name: "g",
    attributes: {
      "text-anchor": "middle",
      fill: palette.ink,
      "font-size": String(typeSize.text),
      // for a script that reads a pointer's place: the frame and what it spans
      "data-frame": [
        options.marginLeft ?? 0,
        options.marginTop ?? 0,
        options.width - (options.marginRight ?? 0),
        options.height - (options.marginBottom ?? 0),
      ].map((edge) => Math.round(edge * 1000) / 1000).join(" "),
      "data-spans": [options.x?.domain, options.y?.domain]
        .flatMap((domain) => [...domain ?? []].map((end) => Number(Number(end).toPrecision(6))))
        .join(" "),
    },
    children: root.children.filter((child) => typeof child !== "string" && child.name !== "style"),
  };
  return { width: options.width, height: options.height, content: [group] };
}

/** Ticks and their letters under the frame, with what they measure; `height` is what all take. */
export function timeAxis(
  ticks: readonly number[],
  options: { label?: string; format?: (value: number) => string; sides: Sides },
): { marks: Plot.Markish[]; height: number } {
  const format = options.format ?? ((value: number) => String(value));
  const label = underFrame(
    options.label ? [{ text: options.label, from: "middle", part: "x-label" }] : [],
    options.sides,
  );
  return { marks: [axisBelow(ticks, format), ...label.marks], height: 35 + label.height };
}

/**
 * Ticks and their letters under the frame; without a format, numbers as the drawing
 * library has them.
 */
export function axisBelow(
  ticks: readonly number[],
  format?: (value: number, place: number) => string,
): Plot.Markish {
  return Plot.axisX([...ticks], {
    tickSize: 5,
    tickPadding: 5,
    label: null,
    fontSize: typeSize.text,
    stroke: palette.axis,
    fill: palette.quiet,
    ...(format && { tickFormat: format }),
    className: "x-axis",
  });
}

/** Quiet lines across the frame with their letters to its left. */
export function valueAxis(
  ticks: readonly number[],
  options: { format?: (value: number) => string } = {},
): Plot.Markish[] {
  const format = options.format ?? ((value: number) => String(value));
  return [
    Plot.gridY([...ticks], { stroke: palette.rule, strokeOpacity: 1, className: "y-grid" }),
    Plot.axisY([...ticks], {
      tickSize: 0,
      tickPadding: 8,
      label: null,
      fontSize: typeSize.text,
      fill: palette.quiet,
      tickFormat: format,
      className: "y-axis",
    }),
  ];
}

/** A panel's heading, at its top left corner, in lines that fit; `height` is what it takes. */
export function panelHeading(
  text: string,
  { width, marginLeft, below = 18 }: {
    width: number;
    marginLeft: number;
    /** What is left between it and the frame. */
    below?: number;
  },
): { marks: Plot.Markish[]; height: number } {
  const lines = wrapText(text, width - 4, { size: typeSize.label, bold: true });
  const height = below + 18 * lines.length;
  const mark = Plot.text([lines.join("\n")], {
    frameAnchor: "top-left",
    textAnchor: "start",
    lineAnchor: "top",
    dx: 2 - marginLeft,
    dy: 2 - height,
    fontSize: typeSize.label,
    lineHeight: 18 / typeSize.label,
    fontWeight: 600,
    fill: palette.ink,
    className: "heading",
  });
  return { marks: [mark], height };
}

/** Round steps that leave room for the letters of each tick. */
export function roundTicks(
  end: number,
  options: { start?: number; most: number; steps?: readonly number[] },
): number[] {
  const start = options.start ?? 0;
  const span = end - start;
  const tens = 10 ** Math.floor(Math.log10(span / options.most));
  const steps = options.steps ?? [1, 2, 2.5, 5, 10, 20].map((k) => k * tens);
  const step = steps.find((s) => span / s <= options.most + 1e-9) ?? span;
  const first = Math.ceil(start / step - 1e-9);
  const ticks: number[] = [];
  for (let k = first; k * step <= end + 1e-9 * span; k++) {
    ticks.push(Number((k * step).toPrecision(12)));
  }
  return ticks;
}

/** Round steps of years that leave room for a count under each tick. */
export function timeTicks(horizon: number, width: number): number[] {
  return roundTicks(horizon, {
    most: Math.max(3, Math.floor((width - 190) / 54)),
    steps: [0.25, 0.5, 1, 2, 3, 4, 5, 10, 20, 50],
  });
}
