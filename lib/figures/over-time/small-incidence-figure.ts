import { DataError } from "../../numerics/mod.ts";
import {
  curvePanels,
  type CurvePanelSpec,
  element,
  type Figure,
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
  textLines,
  textWidth,
  wrapText,
} from "../drawing/mod.ts";
import {
  drawingWidth,
  type GroupRole,
  type GroupStyle,
  groupStyles,
  styleAt,
  type as typeSize,
} from "../theme/mod.ts";
import { causeSteps, type IncidenceColumns, scaleTop } from "./incidence-figure.ts";
import { readingNote, timeAlt, type TimeFigureOptions, timeLayout } from "./survival-figure.ts";

/** One frame of a {@link smallIncidenceFigure}: the same groups among other patients. */
export interface IncidenceFrame {
  /** Whose it is, as readers see it. */
  label: string;
  /** One a group, in the order of the groups. */
  curves: readonly IncidenceColumns[];
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
 * const curves = [repair, replacement];
 * smallIncidenceFigure({
 *   id: "recurrence-small",
 *   title: "Recurrent regurgitation in each population",
 *   groups: [{ label: "Repair" }, { label: "Replacement" }],
 *   frames: [{ label: "Degenerative", curves }, { label: "Secondary", curves }],
 *   horizon: 6,
 * });
 * ```
 * @throws {DataError} without a frame, on a frame without a curve for each group, or as
 * {@link incidenceFigure}.
 */
export function smallIncidenceFigure(
  options: TimeFigureOptions & {
    /** Whose the curves are, once for all frames. */
    groups: readonly { label: string; role?: GroupRole }[];
    frames: readonly IncidenceFrame[];
    /** Code of the event that is drawn. Default 1. */
    cause?: number;
  },
): Figure {
  const { groups, frames, cause = 1, horizon, width = drawingWidth } = options;
  if (frames.length === 0) throw new DataError("frames", "at least one", "none");
  frames.forEach(({ curves }, i) => {
    if (curves.length !== groups.length) {
      throw new DataError(
        "frames.curves",
        `one for each of ${groups.length} groups`,
        curves.length,
        i,
      );
    }
  });
  const styles = groupStyles(groups);
  const perRow = width >= 700 ? 3 : 2;
  const layout = timeLayout({ ...options, width: (width - gap * (perRow - 1)) / perRow });
  const drawn = frames.map(({ curves }) =>
    curves.map((curve, k) => ({
      label: groups[k]?.label ?? "",
      style: styleAt(styles, k),
      curve: causeSteps(curve, cause),
    }))
  );
  const all = drawn.flat();
  const top = scaleTop(all, horizon);
  const specs = frames.map(({ label }, i): CurvePanelSpec => ({
    ...layout,
    heading: label,
    curves: (drawn[i] ?? []).map(({ style, curve }) => ({
      label: endOf(curve, layout),
      style,
      curve,
    })),
    start: 0,
    domain: [0, top],
    valueTicks: roundTicks(top, { most: 3, steps: [0.05, 0.1, 0.25, 0.5] }),
    frameHeight: Math.round(layout.width * 0.7),
  }));
  const key = keyPanel(groups.map(({ label }, k) => ({ label, style: styleAt(styles, k) })), width);
  return makeFigure(
    stack([key, inRows(curvePanels(specs), perRow, { edge: "lower" })], { gap: 8 }),
    {
      ...options,
      redraw: (width) => smallIncidenceFigure({ ...options, width }),
      caption: sentences(
        options.caption,
        `Written at the end of each curve: its value at ${horizon} years`,
        readingNote(options, all, { counted: false }),
      ),
      alt: options.alt ??
        frames.map(({ label }, i) =>
          timeAlt(`Cumulative incidence, ${label}`, { curves: drawn[i] ?? [], horizon, start: 0 })
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
  const leading = 20;
  let x = 0;
  let y = 0;
  let tall = 0;
  const content = groups.flatMap(({ label, style }, k) => {
    const lines = wrapText(label, width - sample - 8, { size: typeSize.text, bold: true });
    const wide = sample + 8 +
      Math.max(...lines.map((line) => textWidth(line, typeSize.text, { bold: true })));
    if (k > 0 && x + wide > width) {
      x = 0;
      y += tall;
      tall = 0;
    }
    tall = Math.max(tall, leading * lines.length);
    const line = element("line", {
      x1: x,
      x2: x + sample,
      y1: y + 11,
      y2: y + 11,
      stroke: style.color,
      "stroke-width": 2.4,
      ...(style.dash && { "stroke-dasharray": style.dash }),
    });
    const name = textLines(lines, {
      x: x + sample + 8,
      y: y + 16,
      weight: 600,
      leading,
      part: "group-label",
      fill: style.textColor,
    });
    x += wide + 28;
    return [line, ...name];
  });
  return { width, height: y + tall + 2, content };
}
