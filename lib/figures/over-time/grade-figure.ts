import { formatPercent } from "../../words/mod.ts";
import * as Plot from "@observablehq/plot";
import { DataError } from "../../numerics/mod.ts";
import { boundedCount } from "../../disclosure/mod.ts";
import {
  endLabels,
  type Figure,
  type FigureOptions,
  frameHeightFor,
  makeFigure,
  nameLines,
  nameSpace,
  type Panel,
  panelHeading,
  percentText,
  percentTick,
  plotPanel,
  publishedText,
  sentences,
  stack,
  valueAxis,
  wrapText,
} from "../drawing/mod.ts";
import { drawingWidth, orderedFills, palette, type as typeSize } from "../theme/mod.ts";
import { cumulative } from "./stacked-states-figure.ts";

/** How one group was graded at one visit. */
export interface GradeVisit {
  /** As it stands under the bar: "Exit", "1 year". */
  label: string;
  /** Patients graded. */
  n: number;
  /** What is printed of `n`; default: `n`, or a bound where it is below `smallestCell`. */
  shown?: number | string;
  /** Share in each grade, in the order of the group's grades; they sum to 1. */
  proportions: readonly number[];
  /** Why there is no bar, to follow "Left empty where": `proportions` are then not read. */
  leftEmpty?: string;
}

/** One group of a {@link gradeFigure}. */
export interface GradeGroup {
  /** Name as readers see it. */
  label: string;
  /** One a time looked at. */
  visits: readonly GradeVisit[];
  /**
   * The group's own grades where some are joined: each with the place in the figure's `grades` of
   * the least of those joined, whose fill it takes. Default: the figure's.
   */
  grades?: readonly { label: string; from: number }[];
}

/**
 * Share of patients in each grade at each visit, one frame a group: bars from the least grade at
 * the bottom, light, to the most, dark, with the share written in where there is room and the
 * number graded below. Every part of a bar is as high as the share given: grades that too few have
 * to be published are joined before they come here, see {@link GradeGroup.grades}.
 *
 * A visit with fewer than `smallestCell` patients is left empty, and its proportions are not read.
 *
 * @example
 * ```ts
 * import { gradeFigure } from "mitral";
 * const proportions = [0.6, 0.25, 0.1, 0.04, 0.01];
 * gradeFigure({
 *   id: "grades",
 *   title: "Regurgitation over time",
 *   grades: ["None or trace", "Mild", "Moderate", "Moderate to severe", "Severe"],
 *   groups: [{ label: "Repair", visits: [{ label: "Exit", n: 900, proportions }] }],
 * });
 * ```
 * @throws {DataError} On proportions that do not sum to 1 within 1e-6, or are too few or many.
 */
export function gradeFigure(
  options: FigureOptions & {
    grades: readonly string[];
    groups: readonly GradeGroup[];
    /** Default 11. */
    smallestCell?: number;
    countHeading?: string;
  },
): Figure {
  const { grades, width = drawingWidth, smallestCell = 11 } = options;
  if (options.groups.length === 0) throw new DataError("groups", "at least one", "none");
  const groups = options.groups.map(({ label, visits, grades: own }): FilledGroup => ({
    label,
    grades: own ?? grades.map((label, from) => ({ label, from })),
    visits: visits.map((visit) => ({
      ...visit,
      leftEmpty: visit.leftEmpty ??
        (visit.n < smallestCell ? `fewer than ${smallestCell} were looked at` : undefined),
    })),
  }));
  groups.forEach(checkGroup);
  const reasons = new Set(
    groups.flatMap(({ visits }) => visits.flatMap(({ leftEmpty }) => leftEmpty ?? [])),
  );
  const joined = groups.some(({ grades: own }) => own.length < grades.length);
  const panels = groups.map((group) =>
    gradePanel(group, {
      count: grades.length,
      width,
      smallestCell,
      countHeading: options.countHeading ?? "Patients graded",
    })
  );
  return makeFigure(stack(panels), {
    ...options,
    redraw: (width) => gradeFigure({ ...options, width }),
    caption: sentences(
      options.caption,
      joined && "Grades that too few had to be published are joined",
      reasons.size > 0 && `Left empty where ${[...reasons].join(" or ")}`,
    ),
    alt: options.alt ?? sentences(...groups.flatMap(visitTexts)),
  });
}

type FilledGroup = Required<GradeGroup>;

function visitTexts({ label, grades, visits }: FilledGroup): string[] {
  return visits.map((visit) => {
    const shares = grades.map((grade, k) =>
      `${grade.label} ${percentText(visit.proportions[k] ?? NaN)}`
    );
    return `${label}, ${visit.label}: ${visit.leftEmpty ? "left empty" : shares.join(", ")}`;
  });
}

const lineHeight = 18;

function gradePanel(
  group: FilledGroup,
  spec: { count: number; width: number; smallestCell: number; countHeading: string },
): Panel {
  const { width, smallestCell } = spec;
  const { visits, grades } = group;
  const ramp = orderedFills(spec.count);
  const fills = grades.map(({ from }) => ramp[from]);
  const names = grades.map(({ label }) => nameLines(label, width));
  const marginLeft = 50;
  const marginRight = 16 + nameSpace(names);
  const inner = width - marginLeft - marginRight;
  const half = 0.36;
  const perVisit = inner / (visits.length - 1 + 2 * half);
  const visitNames = visits.map(({ label }) =>
    wrapText(label, perVisit - 4, { size: typeSize.text })
  );
  const visitLines = Math.max(...visitNames.map((lines) => lines.length));
  const heading = panelHeading(group.label, { width, marginLeft });
  const margins = {
    marginLeft,
    marginTop: heading.height,
    marginBottom: 60 + lineHeight * visitLines,
  };
  const frameHeight = frameHeightFor(names, Math.round(width * 0.48));
  const right = visits.length - 1 + half;
  const bars = visits.flatMap((visit, v) => {
    if (visit.leftEmpty) return [];
    const edges = cumulative(visit.proportions.map((share) => [share]));
    return visit.proportions.map((share, k) => ({
      v,
      k,
      share,
      low: edges[k]?.[0] ?? 0,
      high: edges[k + 1]?.[0] ?? 0,
    }));
  });
  const last = Math.max(-1, ...bars.map(({ v }) => v));
  const barWidth = perVisit * 2 * half;
  const written = bars.filter(({ share }) => share * frameHeight >= 17 && barWidth > 34);
  const valueTicks = [0, 0.25, 0.5, 0.75, 1];
  const under = (texts: string[], dy: number, options: Plot.TextOptions) =>
    Plot.text(texts, {
      x: (_: string, v: number) => v,
      text: (text: string) => text,
      frameAnchor: "bottom",
      lineAnchor: "top",
      dy,
      lineHeight: lineHeight / typeSize.text,
      fontSize: typeSize.text,
      ...options,
    });
  const ends = bars.filter(({ v, share }) => v === last && share >= 0.002).map((bar) => ({
    lines: names[bar.k] ?? [],
    color: palette.ink,
    x: last + half,
    y: (bar.low + bar.high) / 2,
  }));
  return plotPanel({
    width,
    height: margins.marginTop + frameHeight + margins.marginBottom,
    ...margins,
    marginRight,
    x: { domain: [-half, right] },
    y: { domain: [0, 1] },
    marks: [
      ...valueAxis(valueTicks, { format: percentTick(valueTicks) }),
      Plot.rect(bars, {
        x1: ({ v }: Bar) => v - half,
        x2: ({ v }: Bar) => v + half,
        y1: "low",
        y2: "high",
        fill: ({ k }: Bar) => fills[k]?.fill ?? palette.ink,
        stroke: palette.paper,
        strokeWidth: 1,
        className: "grade",
      }),
      Plot.text(written, {
        x: "v",
        y: ({ low, high }: Bar) => (low + high) / 2,
        text: ({ share }: Bar) => formatPercent(share, { digits: 0 }),
        fontSize: typeSize.text,
        fill: ({ k }: Bar) => fills[k]?.letters ?? palette.ink,
        className: "share",
      }),
      Plot.ruleY([0], { stroke: palette.axis }),
      ...heading.marks,
      under(visitNames.map((lines) => lines.join("\n")), 8, {
        fill: palette.quiet,
        className: "visit",
      }),
      Plot.text([spec.countHeading], {
        frameAnchor: "bottom-left",
        textAnchor: "start",
        lineAnchor: "top",
        dx: 2 - margins.marginLeft,
        dy: 16 + lineHeight * visitLines,
        fontSize: typeSize.text,
        fill: palette.quiet,
        className: "count-heading",
      }),
      under(
        visits.map(({ n, shown }) => publishedText(shown ?? boundedCount(n, smallestCell))),
        36 + lineHeight * visitLines,
        { className: "count" },
      ),
      ...endLabels(ends, {
        domain: [0, 1],
        height: frameHeight,
        right,
        perUnit: 1 / perVisit,
        gap: 12,
      }),
    ],
  });
}

interface Bar {
  v: number;
  k: number;
  share: number;
  low: number;
  high: number;
}

function checkGroup({ visits, grades }: FilledGroup): void {
  if (visits.length === 0) throw new DataError("groups.visits", "at least one", "none");
  visits.forEach(({ leftEmpty, proportions }, i) => {
    if (proportions.length !== grades.length) {
      throw new DataError("visits.proportions", `of length ${grades.length}`, proportions, i);
    }
    const total = proportions.reduce((sum, share) => sum + share, 0);
    if (!leftEmpty && !(Math.abs(total - 1) < 1e-6)) {
      throw new DataError("visits.proportions", "shares that sum to 1", total, i);
    }
  });
}
