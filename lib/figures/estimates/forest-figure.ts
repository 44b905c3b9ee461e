import type * as Plot from "@observablehq/plot";
import { DataError } from "../../numerics/mod.ts";
import { formatNumber, inSentence, listText, per100 } from "../../words/mod.ts";
import {
  axisBelow,
  directionTexts,
  type Figure,
  type FigureOptions,
  makeFigure,
  plotPanel,
  roundTicks,
  sentences,
  underFrame,
} from "../drawing/mod.ts";
import { drawingWidth, type GroupRole, groupStyles } from "../theme/mod.ts";
import { type ForestSection, layOut } from "./forest-layout.ts";
import { frameMarks, lettersMarks, rowMarks } from "./forest-marks.ts";
import {
  checkRows,
  type EffectScale,
  effectText,
  type ForestRow,
  hasLimits,
  perHundred,
} from "./forest-words.ts";

/**
 * The groups of a figure whose rows compare arms that are not the study's repairs and replacements,
 * first minus second: in colours of their own.
 */
export const armGroups: readonly { label: string; role: GroupRole }[] = [
  { label: "First arm", role: "third" },
  { label: "Second arm", role: "fourth" },
];

/**
 * Effects with their limits in subgroups or analyses, on one scale. Each row has its name, the risk
 * in each group where it is given, the mark, and at the right the effect in figures; with each
 * section stand where its threshold came from and the test of interaction, as given.
 *
 * A ratio is drawn on a logarithmic scale; a difference of proportions per 100 patients. Limits
 * that leave the scale end in an arrow. A row without an estimate or limits (NaN) says so in words.
 *
 * @example
 * ```ts
 * import { forestFigure } from "mitral";
 * forestFigure({
 *   id: "subgroups",
 *   title: "Death after repair against replacement, by subgroup",
 *   scale: "difference",
 *   axisLabel: "Difference in deaths per 100",
 *   groups: ["Repair", "Replacement"],
 *   directions: ["Fewer deaths with repair", "More with repair"],
 *   sections: [{
 *     label: "Tethering",
 *     source: "10 mm: expert criterion",
 *     interaction: "p = 0.21 for interaction",
 *     rows: [{
 *       label: "Up to 10 mm",
 *       estimate: -0.05,
 *       lower: -0.11,
 *       upper: 0.01,
 *       risks: ["15.0%", "20.0%"],
 *       counts: ["195 patients"],
 *     }],
 *   }],
 * });
 * ```
 * @throws {DataError} On no row, an estimate outside its limits, a ratio of 0 or less, or risks of
 *   more or fewer groups than are named.
 */
export function forestFigure(
  options: FigureOptions & {
    sections: readonly ForestSection[];
    /** Drawn first and larger. */
    overall?: ForestRow;
    scale: EffectScale;
    axisLabel: string;
    /**
     * Names of the groups whose risks the rows give, in their order; with a role, where they are
     * not the study's repairs and replacements.
     */
    groups?: readonly (string | { label: string; role: GroupRole })[];
    directions?: readonly [string, string];
    /** Half-width of a shaded band around no effect: the smallest difference that matters. */
    margin?: number;
    /** Ends of the scale. Default: what holds the limits, but not past 1/8 and 8 for ratios. */
    domain?: readonly [number, number];
  },
): Figure {
  const { sections, overall, scale, margin, width = drawingWidth } = options;
  const styled = options.groups?.map((group) =>
    typeof group === "string" ? { label: group } : group
  );
  const groups = styled?.map(({ label }) => label);
  if (margin !== undefined && !(scale === "difference" && margin > 0)) {
    throw new DataError("margin", "> 0, of a difference", margin);
  }
  const all = [...(overall ? [overall] : []), ...sections.flatMap(({ rows }) => rows)];
  checkRows(all, { scale, ...(groups && { groups }) });
  const layout = layOut({ ...options, groups, width });
  const { domain, ticks } = scaleOf(all, options, width - layout.left - layout.right);
  // a ratio stands at its logarithm, so that halving and doubling are equally far
  const at = scale === "ratio" ? Math.log : (value: number) => value;
  const sides = { left: layout.left, right: layout.right, width };
  const label = underFrame(
    [{ text: options.axisLabel, from: "middle", part: "x-label" }],
    sides,
  );
  const directions = options.directions &&
    directionTexts(options.directions, sides, 33 + label.height);
  const styles = styled && groupStyles(styled);
  const marks: Plot.Markish[] = [
    ...frameMarks(layout, { margin, domain, none: scale === "ratio" ? 1 : 0, at }),
    axisBelow(
      ticks.map(at),
      (_, k) => scale === "ratio" ? String(ticks[k]) : perHundred(ticks[k] ?? 0, 0),
    ),
    ...label.marks,
    ...(directions?.marks ?? []),
    ...lettersMarks(layout, { styles, start: at(domain[0]) }),
    ...layout.places.flatMap((place) => rowMarks(place, { domain, at })),
  ];
  const bottom = 37 + label.height + (directions?.height ?? 0);
  const panel = plotPanel({
    width,
    height: 6 + layout.height + bottom,
    marginLeft: layout.left,
    marginRight: layout.right,
    marginTop: 6,
    marginBottom: bottom,
    x: { domain: domain.map(at) },
    y: { domain: [layout.height, 0] },
    marks,
  });
  return makeFigure(panel, {
    ...options,
    redraw: (width) => forestFigure({ ...options, width }),
    caption: sentences(
      options.caption,
      "Lines are confidence limits",
      margin !== undefined &&
        `Shaded: differences below ${
          formatNumber(per100(margin), { digits: 0 })
        } per 100, too small to matter by the plan`,
    ),
    alt: options.alt ??
      sentences(
        options.axisLabel,
        overall && rowAlt(overall, { scale, groups }),
        ...sections.flatMap((section) =>
          section.rows.map((row) => rowAlt(row, { scale, groups }, section))
        ),
      ),
  });
}

/** A row is named with its section, without which "Yes" or "No" answers nothing. */
function rowAlt(
  row: ForestRow,
  { scale, groups = [] }: { scale: EffectScale; groups?: readonly string[] },
  section: Pick<ForestSection, "label"> = {},
): string {
  const risks = (row.risks ?? []).map((risk, k) => `${groups[k] ?? "group"} ${risk}`);
  const beside = risks.length > 0 ? `; ${listText(risks)}` : "";
  const isTold = section.label !== undefined && section.label !== row.label;
  const name = isTold ? `${section.label}, ${inSentence(row.label)}` : row.label;
  return `${name}: ${effectText(row, scale)}${beside}`;
}

function scaleOf(
  rows: readonly ForestRow[],
  options: { scale: EffectScale; domain?: readonly [number, number] },
  room: number,
): { domain: readonly [number, number]; ticks: number[] } {
  // what is not known has no place; with nothing known the scale is about no effect
  const known = rows.flatMap((row) => hasLimits(row) ? [row.lower, row.upper] : [row.estimate])
    .filter((value) => !Number.isNaN(value));
  const none = options.scale === "ratio" ? [0.5, 2] : [-0.05, 0.05];
  const lowest = Math.min(...(known.length > 0 ? known : none));
  const highest = Math.max(...(known.length > 0 ? known : none));
  if (options.scale === "ratio") {
    const steps = [0.125, 0.25, 0.5, 1, 2, 4, 8];
    const domain = options.domain ?? [
      Math.min(0.5, steps.findLast((s) => s <= lowest) ?? 0.125),
      Math.max(2, steps.find((s) => s >= highest) ?? 8),
    ];
    const inside = steps.filter((s) => s >= domain[0] && s <= domain[1]);
    const each = room * Math.log(2) / Math.log(domain[1] / domain[0]);
    // every other where the letters of all would touch, so that 1 stays
    const ticks = each >= 44 ? inside : inside.filter((s) => Math.log2(s) % 2 === 0);
    return { domain, ticks };
  }
  const [low, high] = options.domain ?? [Math.min(lowest, 0), Math.max(highest, 0)];
  const pad = options.domain ? 0 : (high - low) * 0.04;
  const domain = [low - pad, high + pad] as const;
  const most = Math.max(2, Math.min(4, Math.floor(room / 48)));
  if (options.domain) return { domain, ticks: roundTicks(domain[1], { start: domain[0], most }) };
  return bothSides(domain, { most, reaches: [lowest < 0, highest > 0] });
}

/**
 * Round steps with one on each side of no effect that limits reach: without it nobody could read
 * how far they go there. Of the steps that leave room for the letters, those that widen the scale
 * least.
 */
function bothSides(
  [low, high]: readonly [number, number],
  { most, reaches: [below, above] }: { most: number; reaches: readonly [boolean, boolean] },
): { domain: readonly [number, number]; ticks: number[] } {
  const found = Array.from({ length: most }, (_, k) => {
    const [first = 0, second = first] = roundTicks(high, { start: low, most: k + 1 });
    const step = second > first ? second - first : high - low;
    const domain = [
      below ? Math.min(low, -step) : low,
      above ? Math.max(high, step) : high,
    ] as const;
    const ticks = roundTicks(domain[1], { start: domain[0], most: Infinity, steps: [step] });
    return { domain, ticks, span: domain[1] - domain[0] };
  });
  const fitting = found.filter(({ ticks }) => ticks.length <= most + 1);
  const least = Math.min(...fitting.map(({ span }) => span));
  // of those alike the closest steps
  return fitting.findLast(({ span }) => span <= least * 1.000001) ?? found[0]!;
}
