import { formatNumber, per100 } from "../../words/mod.ts";
import {
  cellCount,
  countBins,
  type Figure,
  type FigureOptions,
  isJoined,
  makeFigure,
  mirrorPanel,
  type MirrorSide,
  sentences,
} from "../drawing/mod.ts";
import { drawingWidth, type GroupRole, groupStyles, styleAt } from "../theme/mod.ts";
import { DataError } from "../../numerics/mod.ts";

/** One group of a {@link propensityFigure}. */
export interface PropensityGroup {
  /** Name as readers see it. */
  label: string;
  /** Which of the two groups it is, for colour and dash. */
  role?: GroupRole;
  /** Estimated chance of repair of each patient of the group, 0 to 1. */
  score: ArrayLike<number>;
  /** The scores of those who were matched. */
  matched?: ArrayLike<number>;
}

/**
 * Where the groups overlap: how many patients had each estimated chance of repair, the first group
 * upwards and the second downwards on one scale; those matched, where given, in full colour.
 *
 * Counting into bars is layout. Bars with fewer than `smallestCell` patients are joined with their
 * neighbours and drawn at their mean height.
 *
 * @example
 * ```ts
 * import { propensityFigure } from "mitral";
 * const ofRepaired = [0.4, 0.6, 0.7, 0.8];
 * const ofReplaced = [0.2, 0.4, 0.5, 0.6];
 * propensityFigure({
 *   id: "propensity",
 *   title: "Overlap of the groups",
 *   groups: [{ label: "Repair", score: ofRepaired }, { label: "Replacement", score: ofReplaced }],
 * });
 * ```
 * @throws {DataError} On a score outside 0 to 1, or other than two groups.
 */
export function propensityFigure(
  options: FigureOptions & {
    groups: readonly [PropensityGroup, PropensityGroup];
    /** Default 0.05. */
    binWidth?: number;
    /** Default 11. */
    smallestCell?: number;
    axisLabel?: string;
  },
): Figure {
  const { groups, binWidth = 0.05, smallestCell = 11, width = drawingWidth } = options;
  if (groups.length !== 2) throw new DataError("groups", "two", groups.length);
  const styles = groupStyles(groups);
  const side = (k: 0 | 1): MirrorSide => {
    const { label, score, matched } = groups[k];
    const bins = countBins(score, { domain: [0, 1], width: binWidth, smallestCell, part: matched });
    const lines = [cellCount(score.length, smallestCell)];
    if (matched) lines.push(`${cellCount(matched.length, smallestCell)} matched`);
    return { label, lines, style: styleAt(styles, k), bins };
  };
  const sides = [side(0), side(1)] as const;
  const joined = sides.some(({ bins }) => bins.some((bin) => isJoined(bin, binWidth)));
  const anyMatched = groups.some(({ matched }) => matched);
  const percent = (value: number) => formatNumber(per100(value), { digits: 0 });
  const panel = mirrorPanel({
    width,
    heading: `Patients per ${percent(binWidth)} percentage points`,
    sides,
    binWidth,
    domain: [0, 1],
    ticks: [0, 0.2, 0.4, 0.6, 0.8, 1],
    format: (value) => value === 1 ? "100%" : percent(value),
    axisLabel: options.axisLabel ?? "Estimated chance of repair",
  });
  return makeFigure(panel, {
    ...options,
    redraw: (width) => propensityFigure({ ...options, width }),
    caption: sentences(
      options.caption,
      anyMatched && "Full colour: matched; pale: all",
      joined &&
        `Neighbouring bars with fewer than ${smallestCell} patients are drawn as one, at their mean height`,
    ),
    alt: options.alt ??
      sentences(
        "Mirrored bars of the estimated chance of repair",
        ...sides.map(({ label, lines, bins }) => {
          const filled = bins.filter(({ count }) => count > 0);
          const range = filled.length === 0
            ? "too few to draw"
            : `from ${percent(filled[0]?.from ?? 0)}% to ${percent(filled.at(-1)?.to ?? 1)}%`;
          return `${label} (${lines.join(", ")}): ${range}`;
        }),
      ),
  });
}
