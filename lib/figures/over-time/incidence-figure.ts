import { listText } from "../../words/mod.ts";
import {
  curvePanels,
  type CurvePanelSpec,
  type Figure,
  inRows,
  makeFigure,
  roundTicks,
  sentences,
  stack,
  type StepCurve,
} from "../drawing/mod.ts";
import { drawingWidth, type GroupRole, groupStyles, styleAt } from "../theme/mod.ts";
import { fewLeft } from "./happenings.ts";
import { unadjustedStrip } from "./unadjusted-strip.ts";
import { DataError, type Numbers } from "../../numerics/mod.ts";
import { type AtRiskColumns, shownAtRisk } from "./curve-columns.ts";
import {
  endPercent,
  readingNote,
  riskRows,
  timeAlt,
  type TimeFigureOptions,
  timeLayout,
} from "./survival-figure.ts";

/** The columns of a cumulative incidence that are drawn: one set of times for all causes. */
export interface IncidenceColumns {
  /** Times, in one unit. */
  time: Numbers;
  /** Still under observation just before each time. */
  atRisk: Numbers;
  /** Of a weighted estimate, printed in place of `atRisk`: see `SurvivalColumns`. */
  effectiveAtRisk?: Numbers;
  /** One a cause, 0 to 1. */
  causes: readonly { cause: number; incidence: Numbers; lower?: Numbers; upper?: Numbers }[];
}

/** One group of an {@link incidenceFigure}. */
export interface IncidenceGroup {
  /** Name as readers see it. */
  label: string;
  /** Which of the two groups it is, for colour and dash. */
  role?: GroupRole;
  /** Its estimate. */
  curve: IncidenceColumns;
  /** Counts at `atRiskTimes` in place of those read from the curve. */
  atRisk?: readonly number[];
  /** Other endpoints whose numbers at risk are published for the same patients. */
  within?: readonly AtRiskColumns[];
}

/** One cause to draw, in a frame of its own. */
export interface CauseLabel {
  /** Code of the event: 1, 2, ... */
  cause: number;
  /** Name as readers see it. */
  label: string;
}

const wideEnough = 700;

/**
 * Cumulative incidence of each cause by group, with limits: one frame a cause, all on one time
 * scale and, unless `scales` says otherwise, on one vertical scale, so that what competes is seen
 * at its true size. The numbers at risk are those of no event yet, the same for every cause: they
 * stand once, under the last frame.
 *
 * Frames stand below each other, or beside each other where `width` is 700 or more.
 *
 * @example
 * ```ts
 * import { cumulativeIncidence, incidenceFigure } from "mitral";
 * const repair = cumulativeIncidence({ time: [1, 2, 4, 6], event: [1, 2, 0, 0] });
 * const replacement = cumulativeIncidence({ time: [2, 3, 5, 6], event: [2, 0, 1, 0] });
 * incidenceFigure({
 *   id: "recurrence-matched",
 *   title: "Recurrent regurgitation and death before it",
 *   groups: [{ label: "Repair", curve: repair }, { label: "Replacement", curve: replacement }],
 *   causes: [{ cause: 1, label: "Recurrence" }, { cause: 2, label: "Death before recurrence" }],
 *   horizon: 10,
 * });
 * ```
 * @throws {DataError} On a cause that a group does not have, or as {@link survivalFigure}.
 */
export function incidenceFigure(
  options: TimeFigureOptions & {
    groups: readonly IncidenceGroup[];
    causes: readonly CauseLabel[];
    /**
     * Top of the vertical scale, as a proportion. Default: the first round step above all limits.
     */
    top?: number;
    /**
     * "own" where each frame is to fill its own: a rare event beside frequent
     * deaths. Default "one".
     */
    scales?: "one" | "own";
  },
): Figure {
  const { groups, causes, horizon, width = drawingWidth, scales = "one" } = options;
  if (causes.length === 0) throw new DataError("causes", "at least one", "none");
  const styles = groupStyles(groups);
  const curves = (cause: number) =>
    groups.map((group, k) => ({
      label: group.label,
      style: styleAt(styles, k),
      curve: causeSteps(group.curve, cause),
      atRisk: group.atRisk,
      within: group.within,
      value: endPercent(horizon),
    }));
  const besideEachOther = width >= wideEnough && causes.length > 1;
  const frameOptions = { ...options, width: besideEachOther ? (width - 24) / 2 : width };
  const layout = timeLayout(frameOptions);
  const all = causes.flatMap(({ cause }) => curves(cause));
  const risk = riskRows(curves(causes[0]?.cause ?? 0), frameOptions);
  const withRisk = besideEachOther ? 0 : causes.length - 1;
  const specs = causes.map(({ cause, label }, k): CurvePanelSpec => {
    const drawn = curves(cause);
    const top = options.top ?? scaleTop(scales === "own" ? drawn : all, horizon);
    return {
      ...layout,
      heading: label,
      curves: drawn,
      start: 0,
      domain: [0, top],
      valueTicks: roundTicks(top, { most: 5, steps: [0.01, 0.02, 0.05, 0.1, 0.25] }),
      ...(k === withRisk && { risk }),
      // once, as the numbers at risk, which are the same under every cause
      ...(k === 0 && {
        happenings: fewLeft(drawn.map(({ curve }) => curve), layout),
      }),
    };
  });
  const panels = curvePanels(specs);
  const names = causes.map(({ label }) => label);
  const drawing = besideEachOther ? inRows(panels, 2) : stack(panels);
  return makeFigure(stack([...unadjustedStrip(options), drawing]), {
    ...options,
    redraw: (width) => incidenceFigure({ ...options, width }),
    caption: sentences(
      options.caption,
      causes.length > 1 &&
        `Each frame shows the share who had that event first: ${listText(names)}`,
      scales === "own" && causes.length > 1 && "Each frame has a scale of its own",
      readingNote(options, all),
    ),
    alt: options.alt ??
      causes.map(({ cause, label }) =>
        timeAlt(`Cumulative incidence, ${label}`, { curves: curves(cause), horizon, start: 0 })
      ).join(" "),
  });
}

/** One cause as a step function. */
export function causeSteps(curve: IncidenceColumns, cause: number): StepCurve {
  const found = curve.causes.find((item) => item.cause === cause);
  if (!found) {
    const known = curve.causes.map((item) => item.cause).join(", ");
    throw new DataError("causes.cause", `one of ${known}`, cause);
  }
  const { incidence: estimate, lower, upper } = found;
  return { time: curve.time, estimate, lower, upper, ...shownAtRisk(curve) };
}

/** The first round step above every limit inside the horizon. */
export function scaleTop(curves: readonly { curve: StepCurve }[], horizon: number): number {
  let highest = 0.1;
  for (const { curve } of curves) {
    for (let i = 0; i < curve.time.length && (curve.time[i] ?? 0) <= horizon; i++) {
      const upper = curve.upper?.[i] ?? NaN;
      highest = Math.max(highest, Number.isFinite(upper) ? upper : curve.estimate[i] ?? 0);
    }
  }
  const step = highest <= 0.2 ? 0.05 : highest <= 0.5 ? 0.1 : 0.25;
  return Math.min(1, Math.ceil(highest / step - 1e-9) * step);
}
