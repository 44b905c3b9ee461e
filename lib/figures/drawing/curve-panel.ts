import * as Plot from "@observablehq/plot";
import { endLabels, frameHeightFor, nameLines, nameSpace } from "./end-labels.ts";
import { percentText, widest, wrapText } from "./letters.ts";
import { panelHeading, plotPanel, timeAxis, valueAxis } from "./plot.ts";
import { type StepCurve, stepDrawing, type StepPoint } from "./steps.ts";
import { type RiskRows, riskTable } from "./risk-table.ts";
import type { Panel } from "./svg.ts";
import { type GroupStyle, palette, type as typeSize } from "../theme/mod.ts";

/** One curve of a panel. */
export interface PanelCurve {
  label: string;
  style: GroupStyle;
  curve: StepCurve;
  /** Written beside the curve's end, under its label. */
  value?: (end: StepPoint) => string | undefined;
}

/** A panel of curves over time. */
export interface CurvePanelSpec {
  width: number;
  heading: string;
  curves: PanelCurve[];
  start: number;
  horizon: number;
  domain: [number, number];
  valueTicks: number[];
  valueFormat?: (value: number) => string;
  timeTicks: number[];
  timeLabel: string;
  /** Height of the frame. */
  frameHeight?: number;
  /** Where lines across are wanted, such as no difference. */
  baseline?: number;
  /** Further lines across, dashed. */
  dashed?: readonly number[];
  risk?: RiskRows;
  /** Marked by upright lines, each named where the curves leave room. */
  happenings?: readonly { at: number; label: string }[];
  smallestAtRisk?: number;
  whereFew?: "fade" | "stop";
}

const marginLeft = 50;

/**
 * Curves with their limits, each named at its end, over a time axis; under the axis the numbers at
 * risk, each under its tick because both stand on the one time scale.
 *
 * Panels made together have equal margins, so that their time axes agree.
 */
export function curvePanels(specs: readonly CurvePanelSpec[]): Panel[] {
  const layouts = specs.map(labelLayout);
  const gap = Math.max(...layouts.map(({ labelGap }) => labelGap));
  const text = Math.max(...layouts.map(({ textSpace }) => textSpace));
  return specs.map((spec, k) =>
    curvePanel(spec, {
      names: layouts[k]?.names ?? new Map(),
      labelGap: gap,
      marginRight: gap + text + 4,
    })
  );
}

interface LabelLayout {
  /** Each label in lines. */
  names: Map<string, string[]>;
  /** From the frame to the labels. */
  labelGap: number;
  marginRight: number;
}

function labelLayout(spec: CurvePanelSpec) {
  const names = new Map<string, string[]>();
  for (const { label } of [...spec.curves, ...spec.risk?.rows ?? []]) {
    names.set(label, nameLines(label, spec.width));
  }
  // the last count stands centred under the last tick: names begin after it
  const lastCounts = (spec.risk?.rows ?? []).map(({ counts }) => counts.at(-1) ?? "");
  const labelGap = Math.max(12, widest(lastCounts, typeSize.text) / 2 + 8);
  return { names, labelGap, textSpace: nameSpace([...names.values()]) };
}

function curvePanel(spec: CurvePanelSpec, layout: LabelLayout): Panel {
  const { names, labelGap, marginRight } = layout;
  const heading = panelHeading(spec.heading, { width: spec.width, marginLeft });
  const marginTop = heading.height;
  const frameHeight = frameHeightFor(
    spec.curves.map(({ label }) => names.get(label) ?? []),
    spec.frameHeight ?? Math.round(Math.min(spec.width * 0.6, 340)),
  );
  const riskMarks = riskTable(spec.risk, { ...layout, marginLeft, timeTicks: spec.timeTicks });
  const axis = timeAxis(spec.timeTicks, {
    label: spec.timeLabel,
    sides: { left: marginLeft, right: marginRight, width: spec.width },
  });
  const axisHeight = axis.height - 2;
  const marginBottom = axisHeight + riskMarks.height;
  const perUnit = spec.horizon / (spec.width - marginLeft - marginRight);
  const drawings = spec.curves.map((item) =>
    stepDrawing(item.curve, {
      start: spec.start,
      horizon: spec.horizon,
      smallestAtRisk: spec.smallestAtRisk,
      whereFew: spec.whereFew,
      resolution: perUnit / 2,
    })
  );
  const marks: Plot.Markish[] = [
    ...valueAxis(spec.valueTicks, { format: spec.valueFormat ?? percentTick(spec.valueTicks) }),
    Plot.ruleY([spec.baseline ?? spec.domain[0]], { stroke: palette.axis, className: "baseline" }),
    Plot.ruleY(spec.dashed ?? [], {
      stroke: palette.quiet,
      strokeDasharray: "3 4",
      className: "margin",
    }),
    ...axis.marks,
    ...heading.marks,
  ];
  for (const mark of [bandMark, lineMark]) {
    spec.curves.forEach((item, k) => {
      for (const { points, faint } of drawings[k]?.stretches ?? []) {
        marks.push(mark(points, { style: item.style, faint }));
      }
    });
  }
  marks.push(...happeningMarks(spec, { perUnit, frameHeight }));
  const ends = spec.curves.flatMap(({ label, style, value }, k) => {
    const drawing = drawings[k];
    if (!drawing) return [];
    const { end, stretches } = drawing;
    // what few patients are left to show is not written out as a result
    const shown = stretches.at(-1)?.faint ? undefined : value?.(end);
    const lines = names.get(label) ?? [label];
    return [{ lines, color: style.textColor, value: shown, x: end.time, y: end.estimate }];
  });
  marks.push(...endLabels(ends, {
    domain: spec.domain,
    height: frameHeight,
    right: spec.horizon,
    perUnit,
    gap: labelGap,
  }));
  marks.push(...riskMarks.marks(axisHeight));
  return plotPanel({
    width: spec.width,
    height: marginTop + frameHeight + marginBottom,
    marginLeft,
    marginRight,
    marginTop,
    marginBottom,
    x: { domain: [0, spec.horizon] },
    y: { domain: spec.domain },
    marks,
  });
}

/**
 * Upright lines with their names, at the foot under falling curves, at the top over rising ones.
 */
function happeningMarks(
  { happenings = [], start, domain: [low, high], horizon, width }: CurvePanelSpec,
  { perUnit, frameHeight }: { perUnit: number; frameHeight: number },
): Plot.Markish[] {
  const frame = horizon / perUnit;
  let line = 0;
  return happenings.flatMap(({ at, label }) => {
    const left = at > horizon / 2;
    const room = Math.min(width, left ? at / perUnit : frame - at / perUnit) - 8;
    const lines = wrapText(label, room, { size: typeSize.text });
    const pixel = start > low ? frameHeight - 12 - 18 * (lines.length + line) : 4 + 18 * line;
    line += lines.length;
    return [
      Plot.ruleX([at], {
        stroke: palette.quiet,
        strokeDasharray: "2 3",
        className: "happening",
      }),
      Plot.text([lines.join("\n")], {
        x: () => at,
        y: () => high - (pixel * (high - low)) / frameHeight,
        dx: left ? -5 : 5,
        textAnchor: left ? "end" : "start",
        lineAnchor: "top",
        lineHeight: 18 / typeSize.text,
        fontSize: typeSize.text,
        fill: palette.quiet,
        stroke: palette.paper,
        strokeWidth: 4,
        className: "happening-label",
      }),
    ];
  });
}

type Manner = { style: GroupStyle; faint: boolean };

function lineMark(points: StepPoint[], { style, faint }: Manner): Plot.Markish {
  return Plot.line(points, {
    x: "time",
    y: "estimate",
    curve: "step-after",
    stroke: style.color,
    strokeWidth: faint ? 1.2 : 2.4,
    strokeOpacity: faint ? 0.6 : 1,
    strokeDasharray: style.dash || undefined,
    strokeLinecap: "butt",
    className: faint ? "curve-faint" : "curve",
  });
}

function bandMark(points: StepPoint[], { style, faint }: Manner): Plot.Markish {
  return Plot.areaY(points, {
    x: "time",
    y1: "lower",
    y2: "upper",
    curve: "step-after",
    fill: style.color,
    fillOpacity: faint ? 0.05 : 0.14,
    className: faint ? "band-faint" : "band",
  });
}

/** Ticks of a proportion, the highest with its sign. */
export function percentTick(ticks: readonly number[]): (value: number) => string {
  const top = Math.max(...ticks);
  return (value) =>
    (value === top ? percentText(value) : percentText(value).replace("%", ""))
      .replace(/\.0(?=%|$)/, "");
}
