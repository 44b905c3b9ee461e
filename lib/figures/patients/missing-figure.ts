import * as Plot from "@observablehq/plot";
import {
  drawingWidth,
  type Figure,
  type FigureOptions,
  type GroupRole,
  groupStyles,
  makeFigure,
  namesAbove,
  palette,
  percentText,
  percentTick,
  plotPanel,
  roundTicks,
  rowLayout,
  rowNames,
  sentences,
  styleAt,
  timeAxis,
} from "../drawing/mod.ts";
import { DataError } from "../../numerics/mod.ts";

/** One variable of a {@link missingFigure}. */
export interface MissingRow {
  /** Name as readers see it. */
  label: string;
  /** Share missing in each group, in the order of `groups`. */
  missing: readonly number[];
}

const symbols = ["circle", "diamond", "square", "triangle"] as const;

/**
 * How much of each variable is missing in each group, the most at the top: where the groups differ,
 * what is missing may tell them apart.
 *
 * @example
 * ```ts
 * import { missingFigure } from "mitral";
 * missingFigure({
 *   id: "missing",
 *   title: "What is missing",
 *   groups: [{ label: "Repair" }, { label: "Replacement" }],
 *   rows: [{ label: "Tethering", missing: [0.12, 0.19] }],
 * });
 * ```
 * @throws {DataError} On no row, a row of another length, or a share outside 0 to 1.
 */
export function missingFigure(
  options: FigureOptions & {
    groups: readonly { label: string; role?: GroupRole }[];
    rows: readonly MissingRow[];
  },
): Figure {
  const { groups, width = drawingWidth } = options;
  if (options.rows.length === 0) throw new DataError("rows", "at least one", "none");
  options.rows.forEach(({ missing }, i) => {
    if (missing.length !== groups.length) {
      throw new DataError("rows.missing", `of length ${groups.length}`, missing, i);
    }
    for (const share of missing) {
      if (!(share >= 0 && share <= 1)) throw new DataError("rows.missing", "0 to 1", share, i);
    }
  });
  const styles = groupStyles(groups);
  const most = ({ missing }: MissingRow) => Math.max(...missing);
  const rows = [...options.rows].sort((a, b) => most(b) - most(a) || (a.label < b.label ? -1 : 1));
  const layout = rowLayout(rows.map(({ label }) => label), { width });
  const right = 24;
  const inner = width - layout.left - right;
  const highest = Math.max(0.05, ...rows.map(most));
  const step = highest > 0.5 ? 0.25 : highest > 0.2 ? 0.1 : highest > 0.1 ? 0.05 : 0.02;
  const top = Math.min(1, Math.ceil(highest / step - 1e-9) * step);
  const ticks = roundTicks(top, {
    most: Math.floor(inner / 48),
    steps: [step, 2 * step, 5 * step],
  });
  const sides = { left: layout.left, right, width };
  const axis = timeAxis(ticks, { label: "Missing", format: percentTick(ticks), sides });
  const above = namesAbove(
    groups.map(({ label }, g) => ({
      name: label,
      value: rows[0]?.missing[g] ?? 0,
      color: styleAt(styles, g).textColor,
    })),
    {
      toPixel: (value) => (value / top) * inner,
      sides,
      end: (layout.middles[0] ?? 0) - 7,
    },
  );
  const marks: Plot.Markish[] = [
    Plot.ruleX(ticks, {
      y1: () => 0,
      y2: () => layout.height,
      stroke: palette.rule,
      className: "x-grid",
    }),
    Plot.ruleX([0], { y1: () => 0, y2: () => layout.height, stroke: palette.axis }),
    ...axis.marks,
    rowNames(layout, 0),
    Plot.link(rows, {
      x1: ({ missing }: MissingRow) => Math.min(...missing),
      x2: ({ missing }: MissingRow) => Math.max(...missing),
      y1: (_: MissingRow, r: number) => layout.middles[r],
      y2: (_: MissingRow, r: number) => layout.middles[r],
      stroke: palette.axis,
      className: "path",
    }),
  ];
  groups.forEach((_, g) => {
    marks.push(Plot.dot(rows, {
      x: ({ missing }: MissingRow) => missing[g],
      y: (_: MissingRow, r: number) => layout.middles[r],
      symbol: symbols[g],
      r: 5,
      fill: styleAt(styles, g).color,
      stroke: palette.paper,
      strokeWidth: 1,
      className: `group-${g + 1}`,
    }));
  });
  marks.push(...above.marks);
  const panel = plotPanel({
    width,
    height: above.height + layout.height + axis.height,
    marginLeft: layout.left,
    marginRight: right,
    marginTop: above.height,
    marginBottom: axis.height,
    x: { domain: [0, top] },
    y: { domain: [layout.height, 0] },
    marks,
  });
  return makeFigure(panel, {
    ...options,
    redraw: (width) => missingFigure({ ...options, width }),
    caption: sentences(options.caption),
    alt: options.alt ?? sentences(
      "Share missing of each variable by group",
      ...rows.map(({ label, missing }) =>
        `${label}: ${
          missing.map((share, g) => `${groups[g]?.label} ${percentText(share)}`).join(", ")
        }`
      ),
    ),
  });
}
