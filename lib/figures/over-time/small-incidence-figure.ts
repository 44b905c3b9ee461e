import { DataError } from "../../numerics/mod.ts";
import {
  curvePanels,
  type CurvePanelSpec,
  drawingWidth,
  element,
  type Figure,
  type GroupStyle,
  groupStyles,
  inRows,
  makeFigure,
  numberAtRisk,
  type Panel,
  percentText,
  roundTicks,
  sentences,
  stack,
  type StepCurve,
  stepValue,
  styleAt,
  textWidth,
  type as typeSize,
} from "../drawing/mod.ts";
import { causeSteps, type IncidenceGroup, scaleTop } from "./incidence-figure.ts";
import { readingNote, timeAlt, type TimeFigureOptions, timeLayout } from "./survival-figure.ts";

/** One frame of a {@link smallIncidenceFigure}: the same groups among other patients. */
export interface IncidenceFrame {
  /** Whose it is, as readers see it. */
  label: string;
  /** The same groups in every frame, in the same order. */
  groups: readonly IncidenceGroup[];
}

const gap = 24;

/**
 * Small multiples: the cumulative incidence of one cause, a frame for each population, all on one
 * scale, so that what differs between populations is seen at a glance. Each curve is named by its
 * colour and dash, which the first line tells, and by its value at the horizon. Numbers at risk and
 * what competes belong to a figure of each population's own.
 *
 * Two frames a row, three where `width` is 700 or more.
 *
 * @example
 * ```ts
 * import { cumulativeIncidence, smallIncidenceFigure } from "mitral";
 * const repair = cumulativeIncidence({ time: [1, 2, 4, 6], event: [1, 2, 0, 0] });
 * const replacement = cumulativeIncidence({ time: [2, 3, 5, 6], event: [2, 0, 1, 0] });
 * const groups = [{ label: "Repair", curve: repair }, { label: "Replacement", curve: replacement }];
 * smallIncidenceFigure({
 *   id: "recurrence-small",
 *   title: "Recurrent regurgitation in each population",
 *   frames: [{ label: "Degenerative", groups }, { label: "Secondary", groups }],
 *   horizon: 6,
 * });
 * ```
 * @throws {DataError} without a frame, on frames of other groups, or as {@link incidenceFigure}.
 */
export function smallIncidenceFigure(
  options: TimeFigureOptions & {
    frames: readonly IncidenceFrame[];
    /** Code of the event that is drawn. Default 1. */
    cause?: number;
  },
): Figure {
  const { frames, cause = 1, horizon, width = drawingWidth } = options;
  const [first] = frames;
  if (!first) throw new DataError("frames", "at least one", "none");
  const names = first.groups.map(({ label }) => label);
  frames.forEach(({ groups }, i) => {
    if (groups.map(({ label }) => label).join("\n") !== names.join("\n")) {
      throw new DataError("frames.groups", `the groups ${names.join(", ")}`, groups.length, i);
    }
  });
  const styles = groupStyles(first.groups);
  const perRow = width >= 700 ? 3 : 2;
  const layout = timeLayout({ ...options, width: (width - gap * (perRow - 1)) / perRow });
  const curves = frames.flatMap(({ label, groups }) =>
    groups.map((group, k) => ({
      frame: label,
      label: group.label,
      style: styleAt(styles, k),
      curve: causeSteps(group.curve, cause),
    }))
  );
  const top = scaleTop(curves, horizon);
  const specs = frames.map(({ label }): CurvePanelSpec => ({
    ...layout,
    heading: label,
    curves: curves.filter(({ frame }) => frame === label).map(({ style, curve }) => ({
      label: endOf(curve, layout),
      style,
      curve,
    })),
    start: 0,
    domain: [0, top],
    valueTicks: roundTicks(top, { most: 3, steps: [0.05, 0.1, 0.25, 0.5] }),
    frameHeight: Math.round(layout.width * 0.7),
  }));
  const key = keyPanel(names.map((label, k) => ({ label, style: styleAt(styles, k) })), width);
  return makeFigure(
    stack([key, inRows(curvePanels(specs), perRow, { edge: "lower" })], { gap: 8 }),
    {
      ...options,
      redraw: (width) => smallIncidenceFigure({ ...options, width }),
      caption: sentences(
        options.caption,
        `Written at the end of each curve: its value at ${horizon} years`,
        readingNote(options, curves),
      ),
      alt: options.alt ??
        frames.map(({ label }) =>
          timeAlt(`Cumulative incidence, ${label}`, {
            curves: curves.filter(({ frame }) => frame === label),
            horizon,
            start: 0,
          })
        ).join(" "),
    },
  );
}

/** A curve's value at the horizon, where enough are left to show it. */
function endOf(
  curve: StepCurve,
  { horizon, smallestAtRisk }: { horizon: number; smallestAtRisk: number },
): string {
  const value = stepValue(curve, { time: horizon, start: 0 });
  const [left = 0] = numberAtRisk(curve, [horizon]);
  return Number.isFinite(value) && left >= smallestAtRisk ? percentText(value) : "";
}

/** Which colour and dash is whose, once for all frames; below each other where it is narrow. */
function keyPanel(
  groups: readonly { label: string; style: GroupStyle }[],
  width: number,
): Panel {
  const sample = 30;
  let x = 0;
  let y = 16;
  const content = groups.flatMap(({ label, style }, k) => {
    const wide = sample + 8 + textWidth(label, typeSize.text, { bold: true });
    if (k > 0 && x + wide > width) {
      x = 0;
      y += 20;
    }
    const line = element("line", {
      x1: x,
      x2: x + sample,
      y1: y - 5,
      y2: y - 5,
      stroke: style.color,
      "stroke-width": 2.4,
      ...(style.dash && { "stroke-dasharray": style.dash }),
    });
    const name = element("text", {
      x: x + sample + 8,
      y,
      fill: style.textColor,
      "font-size": typeSize.text,
      "font-weight": 600,
    }, label);
    x += wide + 28;
    return [line, name];
  });
  return { width, height: y + 6, content };
}
