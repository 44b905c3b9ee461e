import {
  countBins,
  type Figure,
  type FigureOptions,
  isJoined,
  makeFigure,
  mirrorPanel,
  type MirrorSide,
  sentences,
  timeTicks,
} from "../drawing/mod.ts";
import { drawingWidth, type GroupRole, groupStyles, styleAt } from "../theme/mod.ts";
import { countText, formatNumber } from "../../words/mod.ts";
import { DataError } from "../../numerics/mod.ts";

/** One group of a {@link visitFigure}. */
export interface VisitGroup {
  /** Name as readers see it. */
  label: string;
  /** Which of the two groups it is, for colour and dash. */
  role?: GroupRole;
  /** Time of every visit of the group. */
  time: ArrayLike<number>;
  /** How many patients. */
  patients: number;
}

/**
 * When echocardiograms were made, the first group upwards and the second downwards: recurrence can
 * only be seen at a visit, so a group that is looked at more often shows more of it.
 *
 * Visits after the horizon are not drawn and are counted in the caption. Bars with fewer than
 * `smallestCell` visits are joined with their neighbours.
 *
 * @example
 * ```ts
 * import { visitFigure } from "mitral";
 * const ofRepaired = [0.5, 1, 1.1, 3];
 * const ofReplaced = [0.6, 1, 5];
 * visitFigure({
 *   id: "visits",
 *   title: "When echocardiograms were made",
 *   groups: [
 *     { label: "Repair", time: ofRepaired, patients: 988 },
 *     { label: "Replacement", time: ofReplaced, patients: 695 },
 *   ],
 *   horizon: 10,
 * });
 * ```
 * @throws {DataError} On a time that is negative or not finite, or other than two groups.
 */
export function visitFigure(
  options: FigureOptions & {
    groups: readonly [VisitGroup, VisitGroup];
    horizon: number;
    /** Visits before this are counted and not drawn: those before going home. Default 0. */
    from?: number;
    /** Default a quarter. */
    binWidth?: number;
    /** Default 11. */
    smallestCell?: number;
    timeLabel?: string;
  },
): Figure {
  const { groups, horizon, from = 0, binWidth = 0.25, smallestCell = 11, width = drawingWidth } =
    options;
  if (groups.length !== 2) throw new DataError("groups", "two", groups.length);
  if (!(horizon > 0)) throw new DataError("horizon", "> 0", horizon);
  if (!(from >= 0 && from < horizon)) throw new DataError("from", `0 to ${horizon}`, from);
  const styles = groupStyles(groups);
  const end = Math.ceil(horizon / binWidth - 1e-9) * binWidth;
  let later = 0;
  let earlier = 0;
  const side = (k: 0 | 1): MirrorSide => {
    const { label, time, patients } = groups[k];
    const begun = Array.from(time).filter((t) => !(t < from));
    const shown = begun.filter((t) => !(t > end));
    earlier += time.length - begun.length;
    later += begun.length - shown.length;
    const bins = countBins(shown, { domain: [from, end], width: binWidth, smallestCell });
    const lines = [`${countText(time.length)} visits,`, `${countText(patients)} patients`];
    return { label, lines, style: styleAt(styles, k), bins };
  };
  const sides = [side(0), side(1)] as const;
  const joined = sides.some(({ bins }) => bins.some((bin) => isJoined(bin, binWidth)));
  const panel = mirrorPanel({
    width,
    heading: `Visits in each ${binWidth === 0.25 ? "quarter of a year" : `${binWidth} years`}`,
    sides,
    binWidth,
    domain: [0, end],
    ticks: timeTicks(end, width),
    axisLabel: options.timeLabel ?? "Years after operation",
  });
  return makeFigure(panel, {
    ...options,
    redraw: (width) => visitFigure({ ...options, width }),
    caption: sentences(
      options.caption,
      earlier > 0 &&
        `${countText(earlier)} visits before ${
          yearsText(from)
        } are not drawn: nearly everybody is looked at then`,
      later > 0 && `${countText(later)} later visits are not drawn`,
      joined &&
        `Neighbouring bars with fewer than ${smallestCell} visits are drawn as one, at their mean height`,
    ),
    alt: options.alt ?? sentences(
      "Mirrored bars of visits over time",
      ...sides.map(({ label, lines }) => `${label}: ${lines.join(" ")}`),
    ),
  });
}

/** "3 months", "2 years". */
function yearsText(years: number): string {
  const months = Math.round(12 * years);
  return months < 12 ? `${months} months` : `${formatNumber(years)} years`;
}
