import {
  effectiveMeans,
  formatChange,
  formatNumber,
  levelText,
  listText,
  per100,
} from "../../words/mod.ts";
import {
  curvePanels,
  type CurvePanelSpec,
  type Figure,
  type FigureOptions,
  makeFigure,
  numberAtRisk,
  percentText,
  publishedText,
  sentences,
  stack,
  type StepCurve,
  stepValue,
  timeTicks,
} from "../drawing/mod.ts";
import {
  drawingWidth,
  type GroupRole,
  type GroupStyle,
  groupStyles,
  palette,
  styleAt,
} from "../theme/mod.ts";
import { DataError } from "../../numerics/mod.ts";
import {
  type AtRiskColumns,
  type DifferenceColumns,
  shownAtRisk,
  type SurvivalColumns,
} from "./curve-columns.ts";
import { happeningsOf } from "./happenings.ts";
import { unadjustedStrip } from "./unadjusted-strip.ts";
import { publishablePart } from "../../disclosure/mod.ts";

/** How curves over time are laid out. */
export interface TimeFigureOptions extends FigureOptions {
  /** The last time drawn, set before the curves were seen. */
  horizon: number;
  /** Below this many at risk a curve is drawn faintly, or stops. Default 10. */
  smallestAtRisk?: number;
  /** What a curve does where few remain; default "fade". */
  whereFew?: "fade" | "stop";
  /** Where the number at risk is given; also the ticks. Default: round steps to the horizon. */
  atRiskTimes?: readonly number[];
  /** Counts from 1 to below this are printed only as a bound. Default 1: all are printed. */
  smallestCell?: number;
  /** Confidence level of the limits, named in the note. */
  confidence?: number;
  /** Words under the axis of time. */
  timeLabel?: string;
  /** Heading of the numbers at risk. */
  riskHeading?: string;
}

/** One group of a {@link survivalFigure}. */
export interface SurvivalGroup {
  /** Name as readers see it. */
  label: string;
  /** Which of the two groups it is, for colour and dash. */
  role?: GroupRole;
  /** Its estimate. */
  curve: SurvivalColumns;
  /** Counts at `atRiskTimes` in place of those read from the curve. */
  atRisk?: readonly number[];
  /** Other endpoints whose numbers at risk are published for the same patients. */
  within?: readonly AtRiskColumns[];
}

/**
 * Survival of each group with its limits, each curve named at its end, and the number at risk under
 * the ticks; beneath, where asked for, the difference between two groups.
 *
 * Draws what it is given: no estimate is made here. Where fewer than `smallestAtRisk` are left a
 * curve is thin and pale. Times are years unless `timeLabel` says otherwise.
 *
 * @example
 * ```ts
 * import { kaplanMeier, survivalFigure } from "mitral";
 * const repair = kaplanMeier({ time: [1, 2, 4, 6], event: [1, 0, 1, 0] });
 * const replacement = kaplanMeier({ time: [2, 3, 5, 6], event: [1, 1, 0, 0] });
 * survivalFigure({
 *   id: "survival-matched",
 *   title: "Alive after operation",
 *   groups: [{ label: "Repair", curve: repair }, { label: "Replacement", curve: replacement }],
 *   horizon: 10,
 * });
 * ```
 * @throws {DataError} On columns of unlike length, times out of order, no group or a bad horizon.
 * @see Pocock, Clayton & Altman (2002) Lancet 359:1686: numbers at risk, limits, where to stop.
 */
export function survivalFigure(
  options: TimeFigureOptions & {
    groups: readonly SurvivalGroup[];
    /** Heading of the frame. Default "Alive". */
    yLabel?: string;
    difference?: { curve: DifferenceColumns; label?: string };
    /** Smallest difference that matters, dashed among the differences. */
    smallestThatMatters?: number;
  },
): Figure {
  const { groups, horizon, yLabel = "Alive", difference, smallestThatMatters } = options;
  const styles = groupStyles(groups);
  const curves = groups.map(({ label, curve, atRisk, within }, k) => ({
    label,
    style: styleAt(styles, k),
    curve: survivalSteps(curve),
    atRisk,
    within,
  }));
  const layout = timeLayout(options);
  const main: CurvePanelSpec = {
    ...layout,
    heading: yLabel,
    curves: curves.map((item) => ({ ...item, value: endPercent(horizon) })),
    start: 1,
    domain: [0, 1],
    valueTicks: [0, 0.25, 0.5, 0.75, 1],
    risk: riskRows(curves, options),
    happenings: happeningsOf(curves.map(({ curve }) => curve), { ...layout, start: 1 }),
  };
  const specs = difference
    ? [main, differenceSpec(difference, { layout, labels: curves, smallestThatMatters })]
    : [main];
  return makeFigure(stack([...unadjustedStrip(options), ...curvePanels(specs)]), {
    ...options,
    redraw: (width) => survivalFigure({ ...options, width }),
    caption: sentences(
      options.caption,
      readingNote(options, curves),
      difference &&
        "Below: the difference over time" +
          (smallestThatMatters === undefined
            ? ""
            : `; dashed, ${
              formatNumber(per100(smallestThatMatters))
            } per 100, the smallest that matters by the plan`),
    ),
    alt: options.alt ?? timeAlt(`${yLabel}, in percent, over time`, { curves, horizon, start: 1 }),
  });
}

/** A survival estimate as a step function. */
export function survivalSteps(curve: SurvivalColumns): StepCurve {
  const { time, survival: estimate, lower, upper } = curve;
  return { time, estimate, lower, upper, ...shownAtRisk(curve) };
}

/** The layout every panel of a figure shares, so that their time axes agree. */
export function timeLayout(options: TimeFigureOptions) {
  const { horizon, width = drawingWidth, smallestAtRisk = 10, whereFew = "fade" } = options;
  if (!(horizon > 0 && Number.isFinite(horizon))) {
    throw new DataError("horizon", "finite and > 0", horizon);
  }
  const timeTicks = tickTimes(options);
  const timeLabel = options.timeLabel ?? "Years after operation";
  return { width, horizon, smallestAtRisk, whereFew, timeTicks, timeLabel };
}

function tickTimes({ horizon, atRiskTimes, width = drawingWidth }: TimeFigureOptions): number[] {
  if (!atRiskTimes) return timeTicks(horizon, width);
  atRiskTimes.forEach((t, i) => {
    if (!(t >= 0 && t <= horizon)) {
      throw new DataError("atRiskTimes", `from 0 to the horizon, ${horizon}`, t, i);
    }
  });
  return [...atRiskTimes];
}

interface LabelledCurve {
  label: string;
  style: GroupStyle;
  curve: StepCurve;
  atRisk?: readonly number[];
  within?: readonly AtRiskColumns[];
}

/** The table under the axis. */
export function riskRows(curves: readonly LabelledCurve[], options: TimeFigureOptions) {
  const ticks = tickTimes(options);
  const rows = curves.map(({ label, style, curve, atRisk, within = [] }) => {
    const counts = atRisk ?? numberAtRisk(curve, ticks);
    const others = within.map((columns) => numberAtRisk(columns, ticks));
    const shown = counts.map((count, k) =>
      publishablePart(count, others.map((other) => other[k] ?? 0), options.smallestCell ?? 1)
    );
    if (counts.length !== ticks.length) {
      throw new DataError("groups.atRisk", `of length ${ticks.length}`, counts);
    }
    return { label, style, counts: shown.map(publishedText) };
  });
  const effective = curves.some(({ curve }) => curve.effective);
  const heading = effective ? "Effective number at risk" : "Number at risk";
  return { heading: options.riskHeading ?? heading, rows };
}

function differenceSpec(
  difference: { curve: DifferenceColumns; label?: string },
  shared: {
    layout: ReturnType<typeof timeLayout>;
    labels: readonly { label: string }[];
    smallestThatMatters?: number;
  },
): CurvePanelSpec {
  const { curve } = difference;
  const reach = Math.max(
    0.05,
    ...[curve.estimate, curve.lower, curve.upper].flatMap((column) =>
      Array.from(column ?? [], Math.abs).filter((value, i) =>
        Number.isFinite(value) && (curve.time[i] ?? 0) <= shared.layout.horizon
      )
    ),
  );
  const top = Math.ceil(Math.min(reach, 1) * 10) / 10;
  const { smallestThatMatters: margin } = shared;
  const [first, second] = shared.labels;
  const change = (value: number) => formatChange(per100(value), { digits: 0 });
  const neutral: GroupStyle = {
    role: "third",
    color: palette.quiet,
    textColor: palette.ink,
    dash: "",
  };
  return {
    ...shared.layout,
    heading: difference.label ??
      `Difference per 100 patients, ${first?.label ?? ""} minus ${second?.label ?? ""}`,
    curves: [{
      label: "Difference",
      style: neutral,
      curve,
      // as in its table, so that two curves that end at 66% are not said to differ by 1
      value: ({ estimate }) => formatChange(per100(estimate), { digits: 1 }),
    }],
    start: 0,
    domain: [-top, top],
    valueTicks: [-top, 0, top],
    valueFormat: change,
    frameHeight: Math.round(shared.layout.width * 0.24),
    baseline: 0,
    ...(margin !== undefined && margin < top && { dashed: [-margin, margin] }),
  };
}

/** Sentences on how to read the curves, true of what was asked for and of what is drawn. */
export function readingNote(
  options: TimeFigureOptions,
  curves: readonly LabelledCurve[],
  /** Whether numbers at risk stand under the axis. */
  { counted = true }: { counted?: boolean } = {},
): string {
  const { confidence, horizon, smallestAtRisk = 10, smallestCell, whereFew = "fade" } = options;
  const level = confidence === undefined ? "" : `${levelText(confidence)} `;
  const few = whereFew === "fade" ? "Thin and pale where" : "Ended where";
  const becomesFew = curves.some(({ curve }) =>
    Array.from(curve.atRisk ?? []).some((n, i) =>
      n < smallestAtRisk && (curve.time[i] ?? Infinity) <= horizon
    )
  );
  const bounded = counted &&
    riskRows(curves, options).rows.some(({ counts }) => counts.some((count) => /[<>]/.test(count)));
  return sentences(
    `Shaded: ${level}confidence limits`,
    counted && curves.some(({ curve }) => curve.effective) && effectiveMeans,
    becomesFew && `${few} fewer than ${smallestAtRisk} remain at risk`,
    bounded &&
      `A number at risk stands as a bound where the exact one would give away fewer than ${smallestCell} patients`,
  );
}

/** A description of curves in words: their values at the middle of the time axis and at its end. */
export function timeAlt(
  what: string,
  drawn: { curves: readonly LabelledCurve[]; horizon: number; start: number },
): string {
  const { horizon, start } = drawn;
  const parts = drawn.curves.map(({ label, curve }) => {
    const values = [horizon / 2, horizon].flatMap((time) => {
      const value = stepValue(curve, { time, start });
      return Number.isFinite(value) ? [`${percentText(value)} at ${formatNumber(time)}`] : [];
    });
    return `${label}: ${values.length > 0 ? listText(values) : "ends before the middle"}`;
  });
  return sentences(`${what}, from 0 to ${formatNumber(horizon)}`, `${parts.join("; ")}`);
}

/** The value written at a curve's end, where it reaches the horizon. */
export function endPercent(horizon: number) {
  return (end: { time: number; estimate: number }) =>
    end.time >= horizon ? percentText(end.estimate) : undefined;
}
