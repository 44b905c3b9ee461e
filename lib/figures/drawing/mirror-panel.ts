import * as Plot from "@observablehq/plot";
import { countText } from "../../words/mod.ts";
import type { Bin } from "./bins.ts";
import { widest, wrapText } from "./letters.ts";
import { panelHeading, plotPanel, roundTicks, timeAxis, valueAxis } from "./plot.ts";
import type { Panel } from "./svg.ts";
import { type GroupStyle, palette, type as typeSize } from "../theme/mod.ts";

/** One side of a mirrored pair of histograms. */
export interface MirrorSide {
  label: string;
  /** Written under the label, such as counts. */
  lines: readonly string[];
  style: GroupStyle;
  bins: readonly Bin[];
}

/** Bars of the first group upwards and of the second downwards, on one scale. */
export function mirrorPanel(spec: {
  width: number;
  heading: string;
  sides: readonly [MirrorSide, MirrorSide];
  /** Width of one unjoined bar: heights are counts for each such width. */
  binWidth: number;
  domain: readonly [number, number];
  ticks: readonly number[];
  format?: (value: number) => string;
  axisLabel: string;
}): Panel {
  const { sides, binWidth, domain } = spec;
  const texts = sides.map(({ label, lines }) => ({
    names: wrapText(label, spec.width * 0.27, { size: typeSize.label, bold: true }),
    lines: lines.flatMap((line) => wrapText(line, spec.width * 0.27, { size: typeSize.text })),
  }));
  const marginRight = 16 + Math.max(
    ...texts.map(({ names }) => widest(names, typeSize.label, { bold: true })),
    ...texts.map(({ lines }) => widest(lines, typeSize.text)),
  );
  const frame = { left: 50, right: marginRight, width: spec.width };
  const heading = panelHeading(spec.heading, { width: spec.width, marginLeft: frame.left });
  const axis = timeAxis(spec.ticks, { label: spec.axisLabel, format: spec.format, sides: frame });
  const margins = {
    marginLeft: frame.left,
    marginTop: heading.height,
    marginBottom: axis.height,
    marginRight,
  };
  // each half is as tall as the words beside it
  const tallest = Math.max(...texts.map(({ names, lines }) => names.length + lines.length));
  const frameHeight = Math.max(Math.round(spec.width * 0.6), 2 * (18 * tallest + 12));
  const height = ({ from, to }: Bin, count: number) => (count * binWidth) / (to - from);
  const highest = Math.max(
    1,
    ...sides.flatMap(({ bins }) => bins.map((bin) => height(bin, Math.max(bin.count, bin.part)))),
  );
  const steps = roundTicks(highest, { most: 3 }).filter(Number.isInteger);
  const marks: Plot.Markish[] = [
    ...valueAxis([...steps.slice(1).map((t) => -t).reverse(), ...steps], {
      format: (value) => countText(Math.abs(value)),
    }),
    ...axis.marks,
    ...heading.marks,
  ];
  const hasPart = sides.some(({ bins }) => bins.some(({ part }) => part > 0));
  sides.forEach((side, k) => {
    const sign = k === 0 ? 1 : -1;
    const bars = (field: "count" | "part", options: Plot.RectOptions) =>
      Plot.rect(side.bins.filter((bin) => bin[field] > 0), {
        x1: "from",
        x2: "to",
        y1: () => 0,
        y2: (bin: Bin) => sign * height(bin, bin[field]),
        fill: side.style.color,
        insetLeft: 0.6,
        insetRight: 0.6,
        ...options,
      });
    marks.push(bars("count", { fillOpacity: hasPart ? 0.28 : 0.8, className: "bars" }));
    if (hasPart) marks.push(bars("part", { fillOpacity: 0.9, className: "bars-part" }));
    const { names, lines } = texts[k] ?? { names: [], lines: [] };
    const text = (content: string[], dy: number, options: Plot.TextOptions) =>
      Plot.text([content.join("\n")], {
        frameAnchor: "right",
        textAnchor: "start",
        lineAnchor: "top",
        dx: 12,
        dy: -sign * frameHeight / 4 - 9 * (names.length + lines.length) + dy,
        lineHeight: 18 / typeSize.label,
        fontSize: typeSize.label,
        ...options,
      });
    marks.push(
      text(names, 0, { fontWeight: 600, fill: side.style.textColor, className: "side-label" }),
      text(lines, 18 * names.length, { fontSize: typeSize.text, className: "side-lines" }),
    );
  });
  marks.push(Plot.ruleY([0], { stroke: palette.ink, className: "baseline" }));
  return plotPanel({
    width: spec.width,
    height: margins.marginTop + frameHeight + margins.marginBottom,
    ...margins,
    x: { domain: [...domain] },
    y: { domain: [-highest * 1.05, highest * 1.05] },
    marks,
  });
}
