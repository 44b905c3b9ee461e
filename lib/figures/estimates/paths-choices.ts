import * as Plot from "@observablehq/plot";
import { plotPanel, rowLayout } from "../drawing/mod.ts";
import { palette, type as typeSize } from "../theme/mod.ts";
import type { DrawnChoice, DrawnPath, PathsFrame } from "./paths-rows.ts";

// Below this many drawing units a path, marks of neighbours that chose alike are joined.
const dotRoom = 5;

/** One row under the paths. */
export type GridRow = { label: string; heading: boolean; dimension: string; option?: string };

/** A row a dimension, as a heading, and one for each of its options that a path took. */
export function rowsOf(dimensions: readonly DrawnChoice[], paths: readonly DrawnPath[]): GridRow[] {
  return dimensions.flatMap(({ id, label, options }) => [
    { label, heading: true, dimension: id },
    ...options.filter((option) => paths.some(({ choices }) => choices[id] === option.id))
      .map((option) => ({ label: option.label, heading: false, dimension: id, option: option.id })),
  ]);
}

/** A row of marks for each option, under the paths that took it. */
export function choicesPanel(
  paths: readonly DrawnPath[],
  rows: readonly GridRow[],
  { width, margins, x, perPath }: PathsFrame & { perPath: number },
) {
  const layout = rowLayout(rows.map(({ label }) => label), { width, share: 0.46, between: 2 });
  const { middles, names, height } = layout;
  const marks: { from: number; to: number; y: number }[] = [];
  rows.forEach(({ dimension, option }, r) => {
    if (option === undefined) return;
    for (let k = 0; k < paths.length; k++) {
      if (paths[k]!.choices[dimension] !== option) continue;
      let end = k + 1;
      while (perPath < dotRoom && paths[end]?.choices[dimension] === option) end++;
      marks.push({ from: k, to: end - 1, y: middles[r]! });
      k = end - 1;
    }
  });
  // where paths stand apart a mark is a dot; else it is as wide as its run
  const half = perPath < dotRoom ? 0.5 : Math.min(0.5, 2.2 / perPath);
  const planned = paths.findIndex((path) => path.planned);
  const body = [true, false].map((heading) =>
    Plot.text(names.filter((_, r) => rows[r]!.heading === heading), {
      x: () => x.domain[0],
      y: (_: string[], r: number) => middles.filter((_, k) => rows[k]!.heading === heading)[r],
      text: (lines: string[]) => lines.join("\n"),
      dx: heading ? 2 - margins.marginLeft : -10,
      textAnchor: heading ? "start" : "end",
      lineHeight: 17 / typeSize.text,
      fontSize: typeSize.text,
      fontWeight: heading ? 600 : 400,
      fill: palette.ink,
      className: heading ? "section-label" : "row-label",
    })
  );
  return plotPanel({
    width,
    height: height + 8,
    ...margins,
    marginTop: 2,
    marginBottom: 6,
    x,
    y: { domain: [height, 0] },
    marks: [
      Plot.link(rows.filter(({ heading }) => !heading), {
        x1: () => x.domain[0],
        x2: () => x.domain[1],
        y1: (_: GridRow, r: number) => middles.filter((_, k) => !rows[k]!.heading)[r],
        y2: (_: GridRow, r: number) => middles.filter((_, k) => !rows[k]!.heading)[r],
        stroke: palette.rule,
        className: "row-rule",
      }),
      Plot.rect(marks, {
        x1: ({ from }: { from: number }) => from - half,
        x2: ({ to }: { to: number }) => to + half,
        y1: ({ y }: { y: number }) => y - 4,
        y2: ({ y }: { y: number }) => y + 4,
        fill: palette["ramp-3"],
        className: "choice",
      }),
      Plot.link(planned < 0 ? [] : [0], {
        x1: () => planned,
        x2: () => planned,
        y1: () => 0,
        y2: () => height,
        stroke: palette.ink,
        strokeDasharray: "2 3",
        className: "planned",
      }),
      ...body,
    ],
  });
}
