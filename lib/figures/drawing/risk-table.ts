import * as Plot from "@observablehq/plot";
import { type GroupStyle, palette, type as typeSize } from "../theme/mod.ts";

/** The row of counts of one group, one count a tick. */
export interface RiskRow {
  label: string;
  /** Default: ink. */
  style?: GroupStyle;
  counts: string[];
}

/** The counts under an axis, with what they count. */
export interface RiskRows {
  heading: string;
  rows: RiskRow[];
}

const lineHeight = 18;

/** The counts under the axis: a heading, then a row for each group. */
export function riskTable(
  risk: RiskRows | undefined,
  { names, labelGap, marginLeft, timeTicks }: {
    /** Each label in lines. */
    names: ReadonlyMap<string, readonly string[]>;
    /** From the frame to the labels. */
    labelGap: number;
    marginLeft: number;
    timeTicks: readonly number[];
  },
): { height: number; marks: (top: number) => Plot.Markish[] } {
  if (!risk) return { height: 0, marks: (): Plot.Markish[] => [] };
  const heights = risk.rows.map(({ label }) => lineHeight * (names.get(label)?.length ?? 1) + 4);
  const height = 26 + heights.reduce((sum, h) => sum + h, 0) + 4;
  const marks = (top: number): Plot.Markish[] => {
    const base = { frameAnchor: "bottom-left", textAnchor: "start", lineAnchor: "top" } as const;
    const result: Plot.Markish[] = [Plot.text([risk.heading], {
      ...base,
      dx: 2 - marginLeft,
      dy: top + 6,
      fontSize: typeSize.text,
      fill: palette.quiet,
      className: "risk-heading",
    })];
    let y = top + 28;
    risk.rows.forEach((row, k) => {
      result.push(
        Plot.text(row.counts, {
          x: (_: string, i: number) => timeTicks[i],
          text: (count: string) => count,
          frameAnchor: "bottom",
          lineAnchor: "top",
          dy: y,
          lineHeight: lineHeight / typeSize.text,
          fontSize: typeSize.text,
          fontVariant: "tabular-nums",
          fill: palette.ink,
          className: "risk-count",
        }),
        Plot.text([(names.get(row.label) ?? []).join("\n")], {
          ...base,
          frameAnchor: "bottom-right",
          dx: labelGap,
          dy: y,
          lineHeight: lineHeight / typeSize.text,
          fontSize: typeSize.text,
          fontWeight: 600,
          fill: row.style?.textColor ?? palette.ink,
          className: "risk-label",
        }),
      );
      y += heights[k] ?? lineHeight;
    });
    return result;
  };
  return { height, marks };
}
