import {
  beside,
  curvePanels,
  type CurvePanelSpec,
  type Figure,
  type GroupRole,
  groupStyles,
  listText,
  makeFigure,
  type Panel,
  roundTicks,
  sentences,
  stack,
  type StepCurve,
  styleAt,
} from "../drawing/mod.ts";
import { DataError } from "../../numerics/mod.ts";
import {
  type AtRiskColumns,
  endPercent,
  readingNote,
  riskRows,
  type SurvivalColumns,
  survivalSteps,
  timeAlt,
  type TimeFigureOptions,
  timeLayout,
} from "./survival-figure.ts";

type Numbers = ArrayLike<number>;

/** The columns of a cumulative incidence that are drawn: one set of times for all causes. */
export interface IncidenceColumns {
  time: Numbers;
  atRisk: Numbers;
  causes: readonly { cause: number; incidence: Numbers; lower?: Numbers; upper?: Numbers }[];
}

/** One group of an {@link incidenceFigure}. */
export interface IncidenceGroup {
  label: string;
  role?: GroupRole;
  curve: IncidenceColumns;
  /** Counts at `atRiskTimes` in place of those read from the curve. */
  atRisk?: readonly number[];
  within?: readonly AtRiskColumns[];
  /** Freedom from the first cause with other causes taken as censoring, to stand beside. */
  freedom?: SurvivalColumns;
}

/** One cause to draw, in a frame of its own. */
export interface CauseLabel {
  cause: number;
  label: string;
}

const wideEnough = 700;

/**
 * Cumulative incidence of each cause by group, with limits and numbers at risk: one frame a cause,
 * all on one time scale and one vertical scale, so that what competes is seen at its true size.
 *
 * Where groups carry `freedom`, a frame with it comes first, under a heading that says what it is:
 * the share that would be free of the event if nobody could die of anything else. Frames stand below
 * each other, or beside each other where `width` is 700 or more.
 *
 * @example
 * ```ts
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
    /** Top of the vertical scale, as a proportion. Default: the first round step above all limits. */
    top?: number;
    freedomLabel?: string;
  },
): Figure {
  const { groups, causes, horizon, width = 480 } = options;
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
  const free = groups.flatMap(({ label, freedom, within }, k) =>
    freedom
      ? [{
        label,
        style: styleAt(styles, k),
        curve: survivalSteps(freedom),
        within,
        value: endPercent(horizon),
      }]
      : []
  );
  const frames = causes.length + (free.length > 0 ? 1 : 0);
  const besideEachOther = width >= wideEnough && frames > 1;
  const frameOptions = { ...options, width: besideEachOther ? (width - 24) / 2 : width };
  const layout = timeLayout(frameOptions);
  const top = options.top ?? scaleTop(causes.flatMap(({ cause }) => curves(cause)), horizon);
  // three frames one below the other must fit a journal's page
  const frameHeight = !besideEachOther && frames > 2
    ? { frameHeight: Math.round(width * 0.4) }
    : {};
  const specs: CurvePanelSpec[] = causes.map(({ cause, label }) => {
    const drawn = curves(cause);
    return {
      ...layout,
      ...frameHeight,
      heading: label,
      curves: drawn,
      start: 0,
      domain: [0, top],
      valueTicks: roundTicks(top, { most: 5, steps: [0.01, 0.02, 0.05, 0.1, 0.25] }),
      risk: riskRows(drawn, frameOptions),
    };
  });
  if (free.length > 0) {
    specs.unshift({
      ...layout,
      ...frameHeight,
      heading: options.freedomLabel ?? "Free of it, if nobody died first",
      curves: free,
      start: 1,
      domain: [0, 1],
      valueTicks: [0, 0.25, 0.5, 0.75, 1],
      risk: riskRows(free, frameOptions),
    });
  }
  const panels = curvePanels(specs);
  const names = causes.map(({ label }) => label);
  return makeFigure(besideEachOther ? inRows(panels) : stack(panels), {
    ...options,
    redraw: (width) => incidenceFigure({ ...options, width }),
    caption: sentences(
      options.caption,
      causes.length > 1 &&
        `Each frame shows the share who had that event first: ${listText(names)}`,
      free.length > 0 &&
        "Freedom with deaths taken as censoring is what it would be if nobody died first; " +
          "one minus it overstates how many had the event",
      readingNote(options),
    ),
    alt: options.alt ??
      causes.map(({ cause, label }) =>
        timeAlt(`Cumulative incidence, ${label}`, { curves: curves(cause), horizon, start: 0 })
      ).join(" "),
  });
}

function inRows(panels: readonly Panel[]): Panel {
  const rows: Panel[] = [];
  for (let k = 0; k < panels.length; k += 2) rows.push(beside(panels.slice(k, k + 2)));
  return stack(rows);
}

function causeSteps(curve: IncidenceColumns, cause: number): StepCurve {
  const found = curve.causes.find((item) => item.cause === cause);
  if (!found) {
    const known = curve.causes.map((item) => item.cause).join(", ");
    throw new DataError("causes.cause", `one of ${known}`, cause);
  }
  const { incidence: estimate, lower, upper } = found;
  return { time: curve.time, estimate, lower, upper, atRisk: curve.atRisk };
}

/** The first round step above every limit inside the horizon. */
function scaleTop(curves: readonly { curve: StepCurve }[], horizon: number): number {
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
