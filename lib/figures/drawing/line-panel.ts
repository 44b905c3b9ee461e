import * as Plot from "@observablehq/plot";
import { DataError, type Numbers } from "../../numerics/mod.ts";
import { formatNumber } from "../../words/mod.ts";
import { endLabels, frameHeightFor, nameLines, nameSpace } from "./end-labels.ts";
import { panelHeading, plotPanel, roundTicks, timeAxis, valueAxis } from "./plot.ts";
import { namesAbove } from "./row-layout.ts";
import type { Panel } from "./svg.ts";
import {
  drawingWidth,
  type GroupRole,
  type GroupStyle,
  groupStyles,
  palette,
  styleAt,
} from "../theme/mod.ts";

/** A smooth effect with its limits. */
export interface EffectCurve {
  /** Needed where there is more than one. */
  label?: string;
  /** Which of the two groups it is, for colour and dash. */
  role?: GroupRole;
  /** The measurement, ascending, in its unit. */
  x: Numbers;
  /** The estimates. */
  estimate: Numbers;
  /** Lower limits. */
  lower?: Numbers;
  /** Upper limits. */
  upper?: Numbers;
  /** Drawn thin, beside the curve of the same role and in its colour. */
  beside?: boolean;
}

/** What a panel of lines is drawn from. */
export interface LinePanelSpec {
  curves: readonly EffectCurve[];
  xLabel: string;
  yLabel: string;
  width?: number;
  /** Default: a little more than half the width. */
  frameHeight?: number;
  /**
   * Letters of the vertical and of the horizontal ticks: "percent" of proportions, or a function.
   */
  format?: "percent" | ((value: number) => string);
  xFormat?: (value: number) => string;
  xTicks?: readonly number[];
  xDomain?: readonly [number, number];
  yDomain?: readonly [number, number];
  /** Upright lines with a name above them. */
  thresholds?: readonly { at: number; label: string }[];
  /** Where a line across says "no effect". */
  reference?: number;
  /** Names at the right edge of what is not a curve. */
  names?: readonly { label: string; y: number }[];
  /** Labels of panels above or below, so that all leave the same margin. */
  spaceFor?: readonly string[];
  /** Marks drawn over bands and under curves. */
  under?: readonly Plot.Markish[];
  /** Marks drawn over all, knowing what the vertical scale spans. */
  over?: (yDomain: readonly [number, number]) => readonly Plot.Markish[];
}

/** One point of a drawn line, limits cut at the frame. */
export interface LinePoint {
  at: number;
  estimate: number;
  lower: number;
  upper: number;
}

/** A panel of lines, with what was drawn. */
export interface LinePanel {
  panel: Panel;
  points: LinePoint[][];
  format: (value: number) => string;
}

/**
 * Lines with their limits over a measurement, each named at its end.
 *
 * @throws {DataError} On no curve, columns of unlike length, x out of order or not finite.
 */
export function linePanel(spec: LinePanelSpec): LinePanel {
  const { curves, width = drawingWidth, thresholds = [], names: others = [] } = spec;
  if (curves.length === 0) throw new DataError("curves", "at least one", "none");
  curves.forEach(checkCurve);
  const styles = stylesOf(curves);
  const xDomain = spec.xDomain ?? extent(curves.map(({ x }) => x));
  const yDomain = spec.yDomain ?? niceExtent(
    curves.flatMap(({ estimate, lower, upper }) => [estimate, lower ?? [], upper ?? []]),
    spec.reference,
  );
  const names = curves.map(({ label }) => label ? nameLines(label, width) : []);
  const otherNames = others.map(({ label }) => nameLines(label, width));
  const otherSpace = (spec.spaceFor ?? []).map((label) => nameLines(label, width));
  const named = others.length > 0 || curves.some(({ label }) => label);
  const sides = {
    left: 54,
    right: named ? 16 + nameSpace([...names, ...otherNames, ...otherSpace]) : 24,
    width,
  };
  const frameHeight = frameHeightFor(
    [...names, ...otherNames],
    spec.frameHeight ?? Math.round(width * 0.56),
  );
  const inner = width - sides.left - sides.right;
  const above = namesAbove(thresholds.map(({ at, label }) => ({ name: label, value: at })), {
    toPixel: (at) => ((at - xDomain[0]) / (xDomain[1] - xDomain[0])) * inner,
    toValue: (below) => yDomain[1] - (below * (yDomain[1] - yDomain[0])) / frameHeight,
    sides,
    end: 0,
    bold: false,
  });
  const heading = panelHeading(spec.yLabel, {
    width,
    marginLeft: sides.left,
    below: thresholds.length > 0 ? 4 + above.height : undefined,
  });
  const axis = timeAxis(
    spec.xTicks ?? roundTicks(xDomain[1], { start: xDomain[0], most: 6 }),
    { label: spec.xLabel, format: spec.xFormat, sides },
  );
  const margins = {
    marginLeft: sides.left,
    marginTop: heading.height,
    marginBottom: axis.height,
    marginRight: sides.right,
  };
  const format = spec.format === "percent"
    ? (value: number) => `${formatNumber(100 * value, { digits: 0 })}%`
    : spec.format ?? ((value: number) => formatNumber(value, { digits: decimals(yDomain) }));
  const inside = (value: number) => Math.min(yDomain[1], Math.max(yDomain[0], value));
  const points = curves.map(({ x, estimate, lower, upper }) =>
    Array.from(x, (at, i) => ({
      at,
      estimate: estimate[i] ?? NaN,
      lower: inside(lower?.[i] ?? NaN),
      upper: inside(upper?.[i] ?? NaN),
    })).filter(({ at }) => at >= xDomain[0] && at <= xDomain[1])
  );
  const marks: Plot.Markish[] = [
    ...valueAxis(roundTicks(yDomain[1], { start: yDomain[0], most: 7 }), { format }),
    ...axis.marks,
    Plot.ruleY([yDomain[0]], { stroke: palette.axis }),
    ...heading.marks,
    ...above.marks,
    Plot.ruleX(thresholds, {
      x: "at",
      stroke: palette.quiet,
      strokeDasharray: "2 3",
      className: "threshold",
    }),
  ];
  if (spec.reference !== undefined) {
    marks.push(Plot.ruleY([spec.reference], { stroke: palette.axis, strokeDasharray: "4 4" }));
  }
  curves.forEach((_, k) => {
    marks.push(Plot.areaY(points[k] ?? [], {
      x: "at",
      y1: "lower",
      y2: "upper",
      fill: styleAt(styles, k).color,
      fillOpacity: 0.14,
      className: "band",
    }));
  });
  marks.push(...spec.under ?? []);
  curves.forEach((_, k) => {
    const style = styleAt(styles, k);
    marks.push(Plot.line((points[k] ?? []).filter((p) => p.estimate === inside(p.estimate)), {
      x: "at",
      y: "estimate",
      stroke: style.color,
      strokeWidth: curves[k]?.beside ? 1.2 : 2.4,
      strokeDasharray: style.dash || undefined,
      strokeLinecap: "butt",
      className: "curve",
    }));
  });
  const ends = curves.flatMap(({ label }, k) => {
    const end = (points[k] ?? []).findLast((p) => Number.isFinite(p.estimate));
    if (!label || !end) return [];
    const color: string = styleAt(styles, k).textColor;
    return [{ lines: names[k] ?? [], color, x: end.at, y: inside(end.estimate) }];
  });
  others.forEach(({ y }, k) => {
    ends.push({ lines: otherNames[k] ?? [], color: palette.quiet, x: xDomain[1], y: inside(y) });
  });
  marks.push(...spec.over?.(yDomain) ?? []);
  marks.push(...endLabels(ends, {
    domain: yDomain,
    height: frameHeight,
    right: xDomain[1],
    perUnit: (xDomain[1] - xDomain[0]) / inner,
    gap: 12,
  }));
  const panel = plotPanel({
    width,
    height: margins.marginTop + frameHeight + margins.marginBottom,
    ...margins,
    x: { domain: [...xDomain] },
    y: { domain: [...yDomain] },
    marks,
  });
  return { panel, points, format };
}

/** A style for each curve; one that stands beside another has that one's. */
function stylesOf(curves: readonly EffectCurve[]): GroupStyle[] {
  const main = curves.filter(({ beside }) => !beside);
  if (curves.length === 1 || main.length === 0) return curves.map(() => single);
  const styles = groupStyles(main.map(({ label = "", role }) => ({ label, role })));
  return curves.map((curve) =>
    curve.beside
      ? styles.find(({ role }) => role === curve.role) ?? single
      : styleAt(styles, main.indexOf(curve))
  );
}

const single: GroupStyle = {
  role: "third",
  color: palette.quiet,
  textColor: palette.ink,
  dash: "",
};

function extent(columns: readonly Numbers[]): [number, number] {
  let low = Infinity;
  let high = -Infinity;
  for (const column of columns) {
    for (let i = 0; i < column.length; i++) {
      const value = column[i] ?? NaN;
      if (value < low) low = value;
      if (value > high) high = value;
    }
  }
  return [low, high];
}

/** The range of some columns, widened to round ticks. */
function niceExtent(columns: readonly Numbers[], reference?: number): [number, number] {
  const [low, high] = extent([...columns, reference === undefined ? [] : [reference]]);
  const span = high - low || 1;
  const tens = 10 ** Math.floor(Math.log10(span));
  const step = [0.1, 0.2, 0.5, 1, 2].map((k) => k * tens).find((s) => span / s <= 5) ?? span;
  return [Math.floor(low / step + 1e-9) * step, Math.ceil(high / step - 1e-9) * step];
}

function decimals([low, high]: readonly [number, number]): number {
  return Math.max(0, Math.ceil(-Math.log10((high - low) / 5)));
}

function checkCurve({ x, estimate, lower, upper }: EffectCurve): void {
  for (const [name, column] of Object.entries({ estimate, lower, upper })) {
    if (column && column.length !== x.length) {
      throw new DataError(`curves.${name}`, `of length ${x.length}`, column);
    }
  }
  for (let i = 0; i < x.length; i++) {
    const at = x[i] ?? NaN;
    if (!Number.isFinite(at)) throw new DataError("curves.x", "finite", at, i);
    if (i > 0 && at < (x[i - 1] ?? 0)) throw new DataError("curves.x", "ascending", at, i);
    const value = estimate[i] ?? NaN;
    if (!Number.isFinite(value)) throw new DataError("curves.estimate", "finite", value, i);
  }
}
